"""The whole history once more, from the archived files alone, in the order of their deliveries.

Each file is read by the column map that it was imported by. Where the warehouse is there, the two are compared row by
row; where it is lost, the replayed one can take its place.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pandas as pd

from models.errors import ArchiveError, WarehouseError
from models.reference import RECORDS
from models.sql_quoting import literal
from pipelines.intake.archive import entries, entry_hashes
from pipelines.intake.deliveries import enter, has_withdrawals
from pipelines.intake.restaging import restage
from pipelines.intake.staging import forget
from pipelines.intake.storing import store
from pipelines.intake.withdrawing import take_back
from pipelines.shop import durable, warehouse
from pipelines.shop.settings import Settings
from pipelines.shop.warehouse import Connection, lent

Progress = Callable[[str, float], None]
WITHDRAWALS = "intake.withdrawals"
COMPARED = (
    "intake.deliveries",
    WITHDRAWALS,
    "rejected.rows",
    *(f"{schema}.{kind}" for kind in RECORDS for schema in ("accepted", "superseded")),
)


def compare(settings: Settings, progress: Progress = lambda name, share: None) -> pd.DataFrame:
    """Replay beside the warehouse: one row per table with record_table, row_count, replayed_count, differing_count.

    Raises NotFoundError where there is no warehouse, ArchiveError that names a missing or altered file.
    """
    with (
        warehouse.reading(settings) as connection,
        _replayed(settings, entry_hashes(connection), progress) as (file, _),
    ):
        connection.execute(f"attach {literal(str(file))} as replayed (read_only)")
        # The copy may be of a time when nothing could be withdrawn yet.
        left_out = () if has_withdrawals(connection) else (WITHDRAWALS,)
        found = [_compared(connection, table) for table in COMPARED if table not in left_out]
        connection.execute("detach replayed")
    return pd.DataFrame(found)


def rebuild(settings: Settings, progress: Progress = lambda name, share: None) -> int:
    """Put the replayed warehouse where there is none; returns how many deliveries it holds.

    Raises WarehouseError where a warehouse is there, ArchiveError where the archive has no entries or altered files.
    """
    target, copy = warehouse.files(settings)
    with warehouse.held(settings, "replay"):
        if target.exists():
            raise WarehouseError(
                str(target), "is there", "this replay; nothing was changed", "move it away first, or leave --keep out"
            )
        hashes = {int(path.stem.split("-")[1]): None for path in settings.path("archive").glob("delivery-??????.json")}
        if not hashes:
            raise ArchiveError(str(settings.path("archive")), "holds no delivery", "this replay", "restore a backup")
        with _replayed(settings, hashes, progress) as (file, count):
            copy.unlink(missing_ok=True)
            target.with_name(target.name + ".wal").unlink(missing_ok=True)
            durable.replace(file, target)
    return count


@contextmanager
def _replayed(settings: Settings, hashes: Mapping[int, str | None], progress: Progress) -> Iterator[tuple[Path, int]]:
    """A warehouse with these deliveries, in a folder that is gone afterwards, and how many they are."""
    found = entries(settings, hashes)
    with durable.passing_folder(settings.folder / ".replay") as folder:
        beside = replace(settings, folder=folder)
        with warehouse.writing(beside, "replay") as connection:
            imported: dict[int, dict[str, Any]] = {}
            for place, entry in enumerate(found):
                if "withdrawal" in entry:
                    _withdraw(connection, settings, entry["withdrawal"], imported)
                    continue
                progress(entry["delivery"]["file_name"], place / len(found))
                _land(connection, settings, entry)
                imported[int(entry["delivery"]["delivery_id"])] = entry
        yield warehouse.files(beside)[0], len(imported)


def _land(connection: Connection, settings: Settings, entry: dict[str, Any]) -> None:
    delivery = entry["delivery"]
    restaged = restage(connection, settings, entry)
    _place(connection, entry["lines"])
    with warehouse.transaction(connection):
        number = int(delivery["delivery_id"])
        counts = store(connection, restaged.source.name, restaged.staged, number)
        at = datetime.fromisoformat(delivery["landed_at"])
        enter(connection, restaged.settings, restaged.source, restaged.content, restaged.layout, counts, number, at)
        connection.execute(
            "update intake.deliveries set dropped_columns = ? where delivery_id = ?",
            [delivery["dropped_columns"], number],
        )
    forget(connection, restaged.staged.looked_up)


def _withdraw(
    connection: Connection, settings: Settings, said: Mapping[str, Any], imported: Mapping[int, dict[str, Any]]
) -> None:
    at = datetime.fromisoformat(said["withdrawn_at"])
    with warehouse.transaction(connection):
        take_back(
            connection,
            settings,
            int(said["withdrawal_id"]),
            int(said["delivery_id"]),
            at,
            lambda numbers: [imported[number] for number in numbers],
        )


def _place(connection: Connection, lines: Sequence[tuple[int, int]]) -> None:
    placed = pd.DataFrame(lines, columns=["row_number", "line"])
    if placed.empty:
        return
    with lent(connection, "placed_lines", placed):
        connection.execute(
            "update refused set line_number = p.line from placed_lines as p where p.row_number = refused.row_number"
        )


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
