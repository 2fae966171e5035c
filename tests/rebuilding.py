"""A shop built again from the same records in another order, with other threads: what then differs, bit by bit."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from models.reference import RECORDS
from models.tables import TABLES
from pipelines.build import up_to_date
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, load

# What tells of a delivery or of the moment of building, and may differ.
OF_THE_DELIVERY = {"delivery_id", "row_number", "file_name", "landed_at", "made_at", "computed_at"}
COMPARED = sorted(name for name in TABLES if name.startswith(("marts.", "analysis.")))
Digests = dict[str, tuple[int, ...]]


@contextmanager
def built_again(
    folder: Path, beside: Path, threads: int, seed: int, *, split: bool, memory: str | None = None
) -> Iterator[Digests]:
    """The digests of every table of a copy of the shop, its records shuffled by `seed` (0: as they lie).

    split: small tables are worked on in parallel too, which the engine otherwise does with large ones only.
    """
    shutil.copytree(folder, beside, ignore=shutil.ignore_patterns("archive", "inbox", "reviews", "*.lock"))
    settings = load(beside)
    limits = {"memory_limit": memory} if memory else {}
    settings = replace(settings, engine=replace(settings.engine, threads=threads, **limits))
    try:
        _shuffle(settings, seed)
        yield _built(settings, split=split)
    finally:
        shutil.rmtree(beside)


def _shuffle(settings: Settings, seed: int) -> None:
    with warehouse.writing(settings, "test") as connection:
        connection.execute("delete from intake.builds")
        for kind in RECORDS if seed else ():
            columns = ", ".join(row[0] for row in connection.execute(f"describe accepted.{kind}").fetchall())
            rows = f"select * from accepted.{kind} order by hash({columns}, {seed})"
            connection.execute(f"create or replace table accepted.{kind} as {rows}")


def _built(settings: Settings, *, split: bool) -> Digests:
    with warehouse.writing(settings, "test") as connection:
        if split:
            connection.execute("pragma verify_parallelism")
        up_to_date.build_changed(connection, settings)
        return digests(connection)


def digests(connection: warehouse.Connection) -> Digests:
    """Of each table the number of rows, and a digest of the values of each column and of all together."""
    found = {}
    for name in COMPARED:
        columns = columns_of(name)
        each = ", ".join(f"sum(hash({column}))" for column in columns)
        whole = f"count(*), sum(hash({', '.join(columns)}))"
        found[name] = connection.execute(f"select {whole}, {each} from {name}").fetchall()[0]
    return found


def columns_of(table: str) -> list[str]:
    """The columns that are compared."""
    return [column for column in TABLES[table].columns if column not in OF_THE_DELIVERY]


def differing(one: Digests, other: Digests) -> dict[str, list[str]]:
    """The tables that differ, each with its columns that do; no column where only their combination differs."""
    return {
        name: [
            column
            for column, here, there in zip(columns_of(name), one[name][2:], other[name][2:], strict=True)
            if here != there
        ]
        for name in COMPARED
        if one[name] != other[name]
    }
