"""A third of the demo shop, with awkward rows added, built on both engines: not one row of any table differs.

The suite builds every fifth model on Spark from what DuckDB made before it (which fifth hangs on the texts: a changed
one is drawn anew); the campaigns build all of them, each from what Spark made.
The what-ifs run the rating's own texts over other requests; here Spark builds their requests and is given the rest.
tests/benchmarks/bench_spark.py builds everything there is of the whole demo.
"""

from __future__ import annotations

import shutil
import zlib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from pipelines.build import spark, tariffs
from pipelines.build.sql_models import BUILT_SCHEMAS, models, ordered
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, load
from tests.pipelines.build.spark.comparing import differing, differing_rows
from tests.pipelines.build.spark.conftest import spark_settings
from tests.sampling import is_whole
from tests.shops import Rows, build_tables, fill, make_workings

SHARE = 1 if is_whole() else 5
COMPARABLE = [
    model
    for model in ordered(models())
    if model.name.split(".")[0] in BUILT_SCHEMAS or model.name.endswith(".requests")
]
# One that reads records of parcels is always among them: how those lie in the storage is looked at.
WEIGHED = next(model for model in COMPARABLE if "accepted.weights" in model.sql)
COMPARED = [model for model in COMPARABLE if model is WEIGHED or zlib.crc32(model.sql.encode()) % SHARE == 0]

# Zones that are no numbers, names beyond ASCII, shares and wages that end in half a cent, weights that end in half a
# thousandth, sales in several parcels, claims and charges for unheard-of parcels, nulls in what is ordered.
AWKWARD: dict[str, Rows] = {
    "sales": [
        {"sale_id": "Å-1", "quantity": 3, "shipping_charged_cents": 101, "marketplace_fee_cents": 5},
        {"sale_id": "Å-1", "line_number": 2, "item_type": None, "sku": "none", "shipping_charged_cents": 7},
        {
            "sale_id": "Å-2",
            "channel": None,
            "item_price_cents": 9,
            "shipping_charged_cents": 1,
            "marketplace_fee_cents": 5,
            "is_fee_on_shipping": True,
        },
    ],
    "weights": [
        {"parcel_id": "Å1", "sale_id": "Å-1", "zone": "5.5", "scale_weight_lb": 1.0005, "pack_minutes": 7.5125},
        {"parcel_id": "Å1", "sale_id": "Å-1", "line_number": 2, "zone": "5.5", "is_residential": True},
        {"parcel_id": "Å2", "sale_id": "Å-1", "zone": "", "declared_value_cents": 12_345, "is_rectangular": False},
        {"parcel_id": "a2", "sale_id": "Å-1", "zone": None, "carton_code": "none", "packing_method": "none"},
        {
            "parcel_id": "𝄞",
            "sale_id": "Å-2",
            "zone": "007",
            "length_in": 48.0005,
            "width_in": 7.0625,
            "height_in": 0.5,
            "scale_weight_lb": 70.0005,
        },
    ],
    "charges": [
        {"parcel_id": None, "charge_code": "ÄRGER", "amount_cents": 1},
        {"parcel_id": "Å1", "charge_kind": "surcharge", "charge_code": "ÜBER", "amount_cents": 33},
        {"parcel_id": "Å1", "charge_kind": "credit", "amount_cents": -33, "service": "ground", "zone": "+5"},
        {"parcel_id": "unheard-of", "charge_kind": "base", "amount_cents": 0, "sale_id": "Å-2"},
    ],
    "claims": [
        {"claim_id": "Å", "parcel_id": "never-seen", "claim_cause": "other", "refund_cents": 3},
        {"claim_id": "a", "parcel_id": "𝄞", "claim_state": "reported", "claimed_cents": 9, "opened_on": "2026-11-01"},
    ],
}


@pytest.fixture(scope="module")
def both(
    spark_here: None, third_folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[warehouse.Connection, warehouse.Connection]]:
    """Connections to the shop built by DuckDB and to that built by Spark, its storage reached by no path."""
    folder = tmp_path_factory.mktemp("parity")
    shutil.copytree(third_folder, folder / "here")
    here = load(folder / "here")
    with warehouse.writing(here, "test") as connection:
        for kind, added in AWKWARD.items():
            fill(connection, kind, [{"invoice_number": "Å", **row} if kind == "charges" else row for row in added])
        build_tables(connection, here, tariffs.tariffs_of(here))
        make_workings(connection, here)
    shutil.copytree(folder / "here", folder / "there")
    there = elsewhere(folder)
    with warehouse.writing(there, "test") as connection:
        build_there(connection, there)
    with warehouse.reading(here) as one, warehouse.reading(there) as other:
        yield one, other


def elsewhere(folder: Path) -> Settings:
    """The copy's settings. Its storage is reached by a URL that is no path, as that of a cluster is."""
    (folder / "far").mkdir()
    mounted = {"spark.hadoop.fs.viewfs.mounttable.house.link./records": f"file://{folder / 'far'}"}
    settings = spark_settings(folder / "there", "viewfs://house/records/shop", **mounted)
    return replace(settings, shop=load(folder / "here").shop)


def build_there(connection: warehouse.Connection, settings: Settings) -> None:
    made: list[str] = []
    with warehouse.transaction(connection):
        for model in COMPARED:
            connection.execute(f"delete from {model.name}")
        spark.make(connection, settings, COMPARED, made.append)
    assert made == [model.name for model in COMPARED]


@pytest.mark.spark
@pytest.mark.slow(150)
def test_no_row_differs_between_the_engines(both: tuple[warehouse.Connection, warehouse.Connection]) -> None:
    found = {model.name: differing(*both, model.name) for model in COMPARED}
    assert {name: columns for name, columns in found.items() if columns} == {}


@pytest.mark.spark
@pytest.mark.slow
def test_the_records_lie_in_the_storage_and_nothing_else_stays(
    both: tuple[warehouse.Connection, warehouse.Connection], tmp_path_factory: pytest.TempPathFactory
) -> None:
    place = str(
        both[1].execute("select path from duckdb_databases() where database_name = 'warehouse'").fetchall()[0][0]
    )
    there = Path(place).parent
    shop = there.parent / "far" / "shop"
    months = {file.parent.name for file in shop.glob("accepted/weights/*/*.parquet")}
    known = both[0].execute("select distinct strftime(shipped_on, 'month=%Y-%m') from accepted.weights").fetchall()
    assert months == {row[0] for row in known}
    assert "built" not in {each.name for each in shop.iterdir()}
    assert list((there / ".spill").glob("spark-*")) == []


def test_a_difference_is_seen() -> None:
    one = pd.DataFrame({"k": [1, 2], "a": [1.0, None], "b": ["x", None]})
    assert differing_rows(one, one.iloc[::-1], ("k",)) == {}
    assert differing_rows(one, one.assign(a=[1.0 + 1e-12, float("nan")]), ("k",)) == {}
    assert differing_rows(one, one.assign(a=[1.0 + 1e-8, float("nan")]), ("k",)) == {"a": 1}
    assert differing_rows(one, one.assign(b=["x", "y"]), ("k",)) == {"b": 1}
    assert differing_rows(one, one.iloc[:1], ("k",)) == {"rows": 1}
    assert differing_rows(one, pd.concat([one, one.iloc[:1]]), ()) == {"rows": 1}
