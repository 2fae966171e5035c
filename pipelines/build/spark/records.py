"""Keeps tables of the warehouse as Parquet in the storage, by month; only months that changed are written again.

A file is named by a digest of its rows: what lies there under its name is what the warehouse holds.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from models.tables.incremental_rules import DATED
from pipelines.build.spark.storage import Storage
from pipelines.shop import warehouse

# The day by which a record is put into its month. Tables not named here are kept in one file.
DAYS = {f"accepted.{kind}": day for kind, day in DATED.items()}


@dataclass(frozen=True)
class Part:
    """The rows of one month, or of the whole table: where they lie, under which name, and how to select them."""

    place: str
    file: str
    where: str


def columns_of(connection: warehouse.Connection, table: str) -> dict[str, str]:
    """A table's columns with their types as the engine calls them."""
    return {str(row[0]): str(row[1]) for row in connection.execute(f"describe {table}").fetchall()}


def quoted(text: str) -> str:
    """The text as a literal of SQL."""
    return "'" + text.replace("'", "''") + "'"


def keep(
    connection: warehouse.Connection, storage: Storage, table: str, columns: Mapping[str, str], folder: Path
) -> list[str]:
    """Bring the storage up to the table and return the places of its files. `folder`: for files on their way."""
    parts = parts_of(connection, table, columns)
    for part in parts:
        lying = storage.names(part.place)
        if part.file not in lying:
            _write(connection, storage, table, columns, part, folder)
        for file in lying - {part.file}:
            storage.remove(f"{part.place}/{file}")
    _forget_others(storage, table, {part.place for part in parts})
    return [f"{part.place}/{part.file}" for part in parts]


def parts_of(connection: warehouse.Connection, table: str, columns: Mapping[str, str]) -> list[Part]:
    """The months of a table, each with the digest of its rows."""
    day = DAYS.get(table)
    month = f"cast(date_trunc('month', {day}) as date)" if day else "cast(null as date)"
    kept = ", ".join(columns)
    grouped = "group by month order by month" if day else ""
    found = connection.execute(
        f"select {'month' if day else 'null'}, count(*), sum(digest) "
        f"from (select {month} as month, hash({kept}) as digest from {table}) as hashed {grouped}"
    ).fetchall()
    return [_part(table, day, month, (dict(columns), rows, str(digests))) for month, rows, digests in found]


def _part(table: str, day: str | None, month: date | None, rows: object) -> Part:
    named, where = "all", ""
    if day and month is None:
        named, where = "unknown", f"where {day} is null"
    elif month:
        named = f"{month:%Y-%m}"
        where = f"where {day} >= date '{month}' and {day} < date '{month}' + interval '1' month"
    digest = hashlib.sha256(repr(rows).encode()).hexdigest()[:32]
    return Part(f"{table.replace('.', '/')}/month={named}", f"{digest}.parquet", where)


def _write(
    connection: warehouse.Connection, storage: Storage, table: str, columns: Mapping[str, str], part: Part, folder: Path
) -> None:
    written = folder / part.file
    connection.execute(
        f"copy (select {', '.join(columns)} from {table} {part.where}) "
        f"to {quoted(str(written))} (format parquet, compression zstd)"
    )
    storage.put(written, f"{part.place}/{part.file}")
    written.unlink()


def _forget_others(storage: Storage, table: str, places: set[str]) -> None:
    place = table.replace(".", "/")
    for name in storage.names(place):
        if f"{place}/{name}" not in places:
            storage.remove(f"{place}/{name}")
