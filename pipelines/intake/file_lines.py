"""The line at which an accepted row begins in its own file, as `dunnage rejects` counts lines too."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from pipelines.intake.archived import entry_of, noted_beside
from pipelines.intake.reading.tables import LINE
from pipelines.shop.settings import Settings
from pipelines.shop.warehouse import Connection

Place = tuple[int, int]
# A delivery and the number of a row among its rows of records.


def lines_of(connection: Connection, settings: Settings, rows: Iterable[Place]) -> dict[Place, int]:
    """Each row's line. Where nothing tells of lines (a file of a format without them), the row's number."""
    found: dict[Place, int] = {}
    wanted = sorted({(int(delivery), int(number)) for delivery, number in rows})
    for delivery, places in groupby(wanted, key=lambda place: place[0]):
        numbers = [number for _, number in places]
        read, shift = _read(connection, settings, delivery, numbers)
        found |= {(delivery, number): read.get(number) or number + shift for number in numbers}
    return found


def _read(
    connection: Connection, settings: Settings, delivery_id: int, numbers: list[int]
) -> tuple[dict[int, int], int]:
    """The lines that the archive holds, and how many lines stand above the first row of a file whose rows are lines."""
    entry, archived = entry_of(settings, delivery_id)
    lines = noted_beside(connection, archived, LINE, numbers) if archived else {}
    return lines, int(entry.get("line_shift") or 0)
