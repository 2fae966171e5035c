"""Accepted rows that were read although they break the standard, with their text as the archive keeps it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from models.sql_quoting import quoted
from pipelines.intake.archived import entry_of, noted_beside
from pipelines.intake.reading.tables import AS_FOUND, FAULT
from pipelines.shop.settings import Settings
from pipelines.shop.warehouse import Connection


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
