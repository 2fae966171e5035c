"""Records as Parquet by month: a digest sees each change, only changed months are written, what is read is what was."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from models.fields import Quantity
from models.reference import RECORDS
from pipelines.build.spark.dialect import columns_read
from pipelines.build.spark.records import DAYS, columns_of, keep, parts_of
from pipelines.build.spark.session import Cluster
from pipelines.build.sql_models import models
from pipelines.shop import warehouse
from tests.shops import fill, rows

WEIGHTS = "accepted.weights"
SHIPPED = [
    {"parcel_id": "P1", "sale_id": "S1", "shipped_on": "2026-09-30", "length_in": 48.125, "zone": None},
    {"parcel_id": "P2", "sale_id": "S2", "shipped_on": "2026-10-01", "is_residential": True, "packer": "Ä'1\\"},
    {"parcel_id": "P3", "sale_id": "S3", "shipped_on": "2026-10-31", "scale_weight_lb": 0.1 + 0.2},
]


@pytest.fixture
def landed() -> Iterator[warehouse.Connection]:
    with warehouse.scratch() as connection:
        fill(connection, "weights", SHIPPED)
        fill(connection, "sales", [{"sale_id": "S1", "sold_at": "2026-09-30 23:59:59.123456"}])
        yield connection


def parts(connection: warehouse.Connection, table: str = WEIGHTS) -> dict[str, str]:
    return {part.place: part.file for part in parts_of(connection, table, columns_of(connection, table))}


def test_months_are_those_of_a_day() -> None:
    for table, day in DAYS.items():
        column = RECORDS[table.removeprefix("accepted.")].columns[day]
        assert column.quantity in {Quantity.DATE, Quantity.INSTANT}


def test_each_month_is_a_part_and_a_table_without_months_is_one(landed: warehouse.Connection) -> None:
    assert list(parts(landed)) == ["accepted/weights/month=2026-09", "accepted/weights/month=2026-10"]
    assert list(parts(landed, "accepted.cartons")) == ["accepted/cartons/month=all"]
    assert parts(landed, "accepted.claims") == {}


@pytest.mark.parametrize(
    "change",
    [
        "update accepted.weights set zone = '6' where parcel_id = 'P2'",
        "update accepted.weights set is_residential = null where parcel_id = 'P2'",
        "update accepted.weights set scale_weight_lb = 0.3 where parcel_id = 'P3'",
        "delete from accepted.weights where parcel_id = 'P3'",
        "insert into accepted.weights select * from accepted.weights where parcel_id = 'P3'",
        # Two values that change places within a row.
        "update accepted.weights set parcel_id = sale_id, sale_id = parcel_id where parcel_id = 'P3'",
    ],
)
def test_a_change_gives_its_month_another_name_and_no_other(landed: warehouse.Connection, change: str) -> None:
    before = parts(landed)
    landed.execute(change)
    after = parts(landed)
    assert after["accepted/weights/month=2026-10"] != before["accepted/weights/month=2026-10"]
    assert after["accepted/weights/month=2026-09"] == before["accepted/weights/month=2026-09"]


def test_rows_without_a_day_are_a_part_of_their_own(landed: warehouse.Connection) -> None:
    fill(landed, "weights", [{"parcel_id": "P4", "sale_id": None, "line_number": None, "shipped_on": None}])
    found = parts_of(landed, WEIGHTS, columns_of(landed, WEIGHTS))
    held = {each.place: rows(landed, f"select parcel_id from {WEIGHTS} {each.where} order by all") for each in found}
    assert held["accepted/weights/month=unknown"] == [{"parcel_id": "P4"}]
    assert sorted(row["parcel_id"] for lying in held.values() for row in lying) == ["P1", "P2", "P3", "P4"]
    before = parts(landed)
    landed.execute("update accepted.weights set shipped_on = '2026-10-02' where parcel_id = 'P4'")
    after = parts(landed)
    assert "accepted/weights/month=unknown" not in after
    assert after["accepted/weights/month=2026-10"] != before["accepted/weights/month=2026-10"]


def test_the_order_of_rows_is_no_change(landed: warehouse.Connection) -> None:
    before = parts(landed)
    landed.execute("create or replace table accepted.weights as select * from accepted.weights order by parcel_id desc")
    assert parts(landed) == before


def test_a_new_column_is_a_change_of_every_month(landed: warehouse.Connection) -> None:
    before = parts(landed)
    landed.execute("alter table accepted.weights add column colour varchar")
    assert not set(parts(landed).values()) & set(before.values())


def test_texts_of_rejected_rows_stay_here(landed: warehouse.Connection) -> None:
    columns = columns_of(landed, "rejected.rows")
    assert "source_text" in columns
    read = set(columns_read("rejected.rows", list(models().values()), columns))
    assert read == {"delivery_id", "kind", "resolved_by"}


@pytest.mark.spark
def test_only_changed_months_are_written_again(landed: warehouse.Connection, cluster: Cluster, tmp_path: Path) -> None:
    def lying() -> dict[str, int]:
        root = Path(cluster.storage.root.removeprefix("file:"))
        return {
            file.parent.name + "/" + file.name: file.stat().st_mtime_ns for file in root.rglob("weights/*/*.parquet")
        }

    def kept() -> list[str]:
        return keep(landed, cluster.storage, WEIGHTS, columns_of(landed, WEIGHTS), tmp_path)

    kept()
    before = lying()
    assert len(before) == 2
    kept()
    assert lying() == before
    landed.execute("update accepted.weights set zone = '7' where parcel_id = 'P3'")
    places = kept()
    after = lying()
    assert {place.removeprefix("accepted/weights/") for place in places} == set(after)
    assert {name.split("/")[0] for name in set(after) - set(before)} == {"month=2026-10"}
    assert {name for name in before if after.get(name) == before[name]} == {n for n in before if "2026-09" in n}
    landed.execute("delete from accepted.weights where shipped_on < date '2026-10-01'")
    kept()
    assert {name.split("/")[0] for name in lying()} == {"month=2026-10"}
    assert list(tmp_path.iterdir()) == []


@pytest.mark.spark
def test_an_arrival_that_was_cut_off_is_no_file(landed: warehouse.Connection, cluster: Cluster, tmp_path: Path) -> None:
    part = parts_of(landed, WEIGHTS, columns_of(landed, WEIGHTS))[0]
    half = tmp_path / "half"
    half.write_bytes(b"PAR1")
    cluster.storage.put(half, f"{part.place}/{part.file}.arriving")
    keep(landed, cluster.storage, WEIGHTS, columns_of(landed, WEIGHTS), tmp_path)
    assert cluster.storage.names(part.place) == {part.file}


@pytest.mark.spark
@pytest.mark.parametrize("kind", ["weights", "sales", "claims"])
def test_what_spark_reads_is_what_the_warehouse_holds(
    landed: warehouse.Connection, cluster: Cluster, tmp_path: Path, kind: str
) -> None:
    table, columns = f"accepted.{kind}", columns_of(landed, f"accepted.{kind}")
    cluster.show(table, columns, keep(landed, cluster.storage, table, columns, tmp_path))
    cluster.run("core.copy", f"select * from accepted__{kind}", columns, "built/core/copy")
    with cluster.storage.fetched("built/core/copy", tmp_path) as files:
        landed.execute(f"create table core.copy as select * from read_parquet({[str(file) for file in files]})")
    assert columns_of(landed, "core.copy") == columns
    assert rows(landed, "select * from core.copy order by all") == rows(landed, f"select * from {table} order by all")
