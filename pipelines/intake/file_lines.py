"""Accepted rows in their own files: the lines at which they begin, the texts of those that break the standard."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from models.sql_quoting import quoted
from pipelines.intake.archive_entries import entry_of, noted_beside
from pipelines.intake.reading.tables import AS_FOUND, FAULT, LINE
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


@dataclass(frozen=True)
class RepairedRow:
    """A row of a file, by its number among the rows of records, and its text."""

    delivery_id: int
    file_name: str
    row_number: int
    text: str


def repaired_rows(connection: Connection, settings: Settings, rows: Iterable[tuple[int, int]]) -> list[RepairedRow]:
    """Those of the rows, each a delivery and a row number, that were read so. What the archive lacks is left out."""
    by_delivery = groupby(sorted({(int(delivery), int(number)) for delivery, number in rows}), key=lambda row: row[0])
    return [
        row
        for delivery, wanted in by_delivery
        for row in _of_delivery(connection, settings, delivery, [number for _, number in wanted])
    ]


def _of_delivery(
    connection: Connection, settings: Settings, delivery_id: int, wanted: list[int]
) -> Iterator[RepairedRow]:
    entry, archived = entry_of(settings, delivery_id)
    texts = noted_beside(connection, archived, AS_FOUND, wanted, f"{quoted(FAULT)} is null") if archived else {}
    yield from (RepairedRow(delivery_id, entry["delivery"]["file_name"], *row) for row in texts.items())
