"""The whole history once more, from the archived files alone, in the order of their deliveries.

Each file is read by the column map that it was landed by. Where the warehouse is there, the two are compared row by
row; where it is lost, the replayed one can take its place.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pandas as pd
import pyarrow.parquet as pq

from models.errors import ArchiveError, WarehouseError
from models.reference import RECORDS
from pipelines import durable, warehouse
from pipelines.intake.archive import entries, origin
from pipelines.intake.columns import lay_out
from pipelines.intake.deliveries import enter
from pipelines.intake.landing import land
from pipelines.intake.rejecting import reject
from pipelines.intake.staging import forget, stage
from pipelines.reading.finding import Content
from pipelines.reading.tables import BESIDE, Kept, kept_name, literal, source_error
from pipelines.settings import Settings, source
from pipelines.warehouse import Connection

Progress = Callable[[str], None]
COMPARED = (
    "intake.deliveries",
    "rejected.rows",
    *(f"{schema}.{kind}" for kind in RECORDS for schema in ("accepted", "superseded")),
)


@dataclass(frozen=True)
class ArchivedFile:
    """An archived file in the place of an opened source file: headers without rows, since nothing is guessed anew."""

    headers: tuple[str, ...]
    rows: Sequence[Sequence[str]] = ()

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        raise source_error(str(target), "is archived already")


def compare(settings: Settings, progress: Progress = lambda name: None) -> pd.DataFrame:
    """Replay beside the warehouse: one row per table with record_table, row_count, replayed_count, differing_count.

    Raises NotFoundError where there is no warehouse, ArchiveError that names a missing or altered file.
    """
    with warehouse.reading(settings) as connection:
        hashes = dict(
            connection.execute(
                "select d.delivery_id, a.entry_hash from intake.deliveries as d "
                "left join intake.archived as a on a.delivery_id = d.delivery_id"
            ).fetchall()
        )
        with _replayed(settings, hashes, progress) as file:
            connection.execute(f"attach {literal(str(file))} as replayed (read_only)")
            found = [_compared(connection, table) for table in COMPARED]
            connection.execute("detach replayed")
    return pd.DataFrame(found)


def rebuild(settings: Settings, progress: Progress = lambda name: None) -> int:
    """Put the replayed warehouse where there is none; returns how many deliveries it holds.

    Raises WarehouseError where a warehouse is there, ArchiveError where the archive has no entries or altered files.
    """
    target, copy, _, _ = warehouse.files(settings)
    with warehouse.held(settings, "replay"):
        if target.exists():
            raise WarehouseError(
                str(target), "is there", "this replay; nothing was changed", "move it away first, or leave --keep out"
            )
        hashes = {int(path.stem.split("-")[1]): None for path in settings.path("archive").glob("delivery-??????.json")}
        if not hashes:
            raise ArchiveError(str(settings.path("archive")), "holds no delivery", "this replay", "restore a backup")
        with _replayed(settings, hashes, progress) as file:
            copy.unlink(missing_ok=True)
            target.with_name(target.name + ".wal").unlink(missing_ok=True)
            durable.replace(file, target)
    return len(hashes)


@contextmanager
def _replayed(settings: Settings, hashes: Mapping[int, str | None], progress: Progress) -> Iterator[Path]:
    """A warehouse with these deliveries, in a folder that is gone afterwards."""
    found = entries(settings, hashes)
    folder = settings.folder / ".replay"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(mode=0o700)
    beside = replace(settings, folder=folder)
    try:
        with warehouse.writing(beside, "replay") as connection:
            for entry in found:
                progress(entry["delivery"]["file_name"])
                _land(connection, settings, entry)
        yield warehouse.files(beside)[0]
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _land(connection: Connection, settings: Settings, entry: dict[str, Any]) -> None:
    delivery, archived = entry["delivery"], settings.path("archive") / entry["file"]
    # By which files it was found then is of no use now, and may be a pattern that is no longer taken.
    said = source(entry["source"] | {"files": archived.name}, f"archived delivery {delivery['delivery_id']}")
    shop = replace(settings.shop, currency=entry["currency"], time_zone=entry["time_zone"])
    then = replace(settings, shop=shop)
    columns = _columns(entry, archived)
    table = ArchivedFile(tuple(columns))
    layout = replace(lay_out(then, said, table, archived.name), dropped={})
    content = Content(archived, delivery["file_name"], delivery["content_hash"], delivery["byte_count"])
    with origin(archived, [columns[column.header] for column in layout.kept]) as rows:
        staged = stage(connection, said, layout, rows, content.name)
        reject(connection, said, layout, staged, rows)
    _place(connection, entry["lines"])
    with warehouse.transaction(connection):
        number = int(delivery["delivery_id"])
        counts = land(connection, said.name, staged, number)
        enter(connection, then, said, content, layout, counts, number, datetime.fromisoformat(delivery["landed_at"]))
        connection.execute(
            "update intake.deliveries set dropped_columns = ? where delivery_id = ?",
            [delivery["dropped_columns"], number],
        )
    forget(connection, staged.looked_up)


def _columns(entry: dict[str, Any], archived: Path) -> dict[str, str]:
    """Header -> name of its column in the archived file. Until November 2026 that was the header itself."""
    if "headers" in entry:
        return {header: kept_name(number) for number, header in enumerate(entry["headers"])}
    beside = {name for name, _ in BESIDE}
    return {name: name for name in pq.read_schema(archived).names if name not in beside}


def _place(connection: Connection, lines: Sequence[tuple[int, int]]) -> None:
    placed = pd.DataFrame(lines, columns=["row_number", "line"])
    if placed.empty:
        return
    connection.register("placed_lines", placed)
    connection.execute(
        "update refused set line_number = p.line from placed_lines as p where p.row_number = refused.row_number"
    )
    connection.unregister("placed_lines")


def _compared(connection: Connection, table: str) -> dict[str, object]:
    """Rows there, rows replayed, and rows that only one of them has."""
    columns = ", ".join(str(row[0]) for row in connection.execute(f"describe replayed.{table}").fetchall())
    here, there = (f"select {columns} from {place}.{table}" for place in ("warehouse", "replayed"))
    counts = [
        connection.execute(f"select count(*) from ({query})").fetchall()[0][0]
        for query in (here, there, f"{here} except all {there}", f"{there} except all {here}")
    ]
    return {
        "record_table": table,
        "row_count": counts[0],
        "replayed_count": counts[1],
        "differing_count": counts[2] + counts[3],
    }
