"""A build under a small limit of memory gives the same tables, and what was spilled to disk is gone afterwards."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from pipelines.build import current
from pipelines.review import runs
from pipelines.shop import warehouse
from pipelines.shop.settings import Engine, Settings, load

TABLES = ("core.parcels", "marts.parcel_costs", "marts.shipping_margin", "rating.expected_charges")
LIMIT = "300MB"


def hashes(settings: Settings) -> list[tuple[object, ...]]:
    """Rows and order-free hash of each table."""
    with warehouse.reading(settings) as connection:
        known = {
            f"{schema}.{name}"
            for schema, name in connection.execute(
                "select table_schema, table_name from information_schema.tables"
            ).fetchall()
        }
        return [
            (table, *connection.execute(f"select count(*), bit_xor(hash(t)) from {table} as t").fetchall()[0])
            for table in TABLES
            if table in known
        ]


@pytest.mark.slow
def test_a_build_in_little_memory(demo_folder: Path, tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    shutil.copytree(demo_folder, folder, ignore=shutil.ignore_patterns("inbox", "reviews"))
    settings = replace(load(folder), engine=Engine(memory_limit=LIMIT))
    before = hashes(settings)
    assert len(before) >= 3
    with warehouse.writing(settings, "test") as connection:
        connection.execute("delete from intake.builds")
        assert not current.is_current(connection, settings)
        set_to = connection.execute("select current_setting('memory_limit')").fetchall()[0][0]
        assert set_to == "286.1 MiB"
    runs.month_tables(settings, None)
    assert hashes(settings) == before
    assert list((folder / ".spill").glob("*")) == []


def test_what_a_sort_spills_is_gone_afterwards(tmp_path: Path) -> None:
    settings = Settings(folder=tmp_path, engine=Engine(memory_limit="100MB", threads=1))
    with warehouse.writing(settings, "test") as connection:
        connection.execute("create temp table sorted as select hash(n) as h from range(20000000) as t(n) order by h")
        assert list((tmp_path / ".spill").iterdir())
    assert list((tmp_path / ".spill").glob("*")) == []
