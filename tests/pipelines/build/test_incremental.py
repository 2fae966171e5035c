"""Only what new or corrected records touch is built again, and every table is as if all had been built."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import settings as tried
from hypothesis import strategies as st

from models.reference import RECORDS
from models.tables import TABLES
from models.tables.incremental_rules import DATED, WORKINGS
from models.tariffs.rules import Tariff
from pipelines.build import tariffs
from pipelines.build.sql_models import models
from pipelines.review import runs
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.pipelines.build.late_records import LATE, SALES, Fate, Landing, Records, without_some_bench_rows
from tests.pipelines.build.spark.comparing import differing_rows
from tests.sampling import campaign, is_whole, tries

DELIVERIES = 3
COMPARED = sorted(set(models()) - WORKINGS)


@pytest.fixture(scope="module")
def price_lists(demo_folder: Path) -> list[Tariff]:
    return tariffs.tariffs_of(load(demo_folder))


@pytest.fixture(scope="module")
def records(demo: warehouse.Connection) -> Records:
    """Some of the demo's sales, the parcels they went out in, and what was charged and claimed for these."""
    found = {kind: demo.execute(f"select * from accepted.{kind} order by all").df() for kind in RECORDS}
    numbers = found["sales"]["sale_id"].drop_duplicates().sample(SALES, random_state=1)
    found["sales"] = found["sales"][found["sales"]["sale_id"].isin(numbers)]
    found["weights"] = found["weights"][found["weights"]["sale_id"].isin(numbers)]
    parcels = found["weights"]["parcel_id"]
    is_fee = found["charges"]["parcel_id"].isna()
    found["charges"] = found["charges"][found["charges"]["parcel_id"].isin(parcels) | is_fee]
    found["claims"] = found["claims"][found["claims"]["parcel_id"].isin(parcels)]
    return without_some_bench_rows(found)


def differing(one: warehouse.Connection, another: warehouse.Connection) -> dict[str, dict[str, int]]:
    """By table and column, how many rows differ; keys made of facts are the same wherever they were made."""
    found = {}
    for name in COMPARED:
        here, there = (connection.execute(f"select * from {name}").df() for connection in (one, another))
        found[name] = differing_rows(here, there, TABLES[name].key)
    return {name: columns for name, columns in found.items() if columns}


@pytest.mark.slow(25)
@campaign
def test_a_review_after_late_records_is_that_of_building_everything(third_folder: Path, tmp_path: Path) -> None:
    shutil.copytree(third_folder, tmp_path / "by_and_by")
    by_and_by = load(tmp_path / "by_and_by")
    with warehouse.writing(by_and_by, "test") as connection:
        (last,) = connection.execute("select max(delivery_id) from intake.deliveries").fetchall()[0]
        known = {kind: connection.execute(f"select * from accepted.{kind} order by all").df() for kind in DATED}
        recent = {kind: rows[rows[DATED[kind]] >= LATE] for kind, rows in known.items()}
        landing = Landing(connection, (), last)
        for kind, rows in Fate(recent, 7).delivery().items():
            landing.bring(kind, rows)
    shutil.copytree(tmp_path / "by_and_by", tmp_path / "at_once")
    at_once = load(tmp_path / "at_once")
    with warehouse.writing(at_once, "test") as connection:
        connection.execute("delete from intake.builds")
    steps: list[str] = []
    _, one = runs.month_tables(by_and_by, "2026-10", steps.append)
    _, another = runs.month_tables(at_once, "2026-10")
    found = {name: differing_rows(one[name], another[name], TABLES[name].key) for name in another}
    assert {name: columns for name, columns in found.items() if columns} == {}
    assert "merging" in steps


@pytest.mark.slow(15)
@given(seed=st.integers(0, 10**6))
@tried(max_examples=tries(5, fewest=1), derandomize=True, deadline=None)
def test_what_is_touched_built_alone_gives_what_building_everything_gives(
    records: Records, price_lists: list[Tariff], seed: int
) -> None:
    fate = Fate(records, seed)
    with warehouse.scratch() as connection, warehouse.scratch() as whole:
        by_and_by, at_once = Landing(connection, price_lists), Landing(whole, price_lists)
        for landing in (by_and_by, at_once):
            for kind, rows in fate.early().items():
                landing.bring(kind, rows)
        by_and_by.build()
        by_part = []
        for number in range(DELIVERIES):
            for kind, rows in fate.delivery().items():
                by_and_by.bring(kind, rows)
                at_once.bring(kind, rows)
            by_and_by.build()
            by_part.append(by_and_by.is_by_part())
            # What one build leaves wrong stands in the next, too: the last one is compared, in the whole campaign each.
            if number == DELIVERIES - 1 or is_whole():
                whole.execute("delete from intake.builds")
                at_once.build()
                assert differing(connection, whole) == {}
        assert any(by_part)
        assert connection.execute("select 1 from core.shipments where shipment_lacking is not null").fetchall()
