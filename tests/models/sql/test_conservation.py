"""Parcels, pieces and cents of every mart against its source: what is lost or counted twice stops the build."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from models.errors import CheckFailedError
from models.sql_texts import sql_texts
from pipelines.build.checks import run_checks, stop_on
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.shops import built

COUNTED = (
    *("margin_cells", "shipping_margin", "margin_by_channel", "margin_by_service", "margin_by_zone"),
    *("coverage", "damage_counts", "exposure_cells", "weekly_charges", "carton_days", "carriage_cells"),
)
SUMMED = ("margin_cells", "shipping_margin", "margin_by_channel", "margin_by_service", "margin_by_zone")


# What a mart adds up, and of which rows: a cent or a thing more or less in either stops the build.
SUMS = {
    "billing_totals": "over_cents",
    "near_miss_totals": "spared_cents",
    "quoted_against_billed": "parcel_count",
    "insurance_ledger": "lost_cents",
    "sale_states": "shipping_charged_cents",
    "returns": "depreciation_cents",
    "claim_losses": "claim_cost_cents",
    "margin_bins": "margin_cents",
    "surcharge_frequency": "amount_cents",
    "weekly_charges": "charged_count",
    "carriage_by_zone": "billed_cents",
    "label_scans": "label_count",
    "billing_checks": "charged_count",
    "invoice_delays": "first_billed_count",
    "margin_year": "margin_cents",
    "damage_year": "damage_net_cents",
    "packing_method_year": "parcel_count",
}


# An invoice of a surcharge that comes before that of the carriage: the parcel is billed for the first time once.
EARLIER = {"invoice_number": "I0", "invoiced_on": "2026-09-01"}
# The demo has no row of these.
MORE = {
    "zone_sources": "('2026-09-01', 'Northline', 'chart', 1)",
    "unchecked_charges": "('2026-09-01', 'Northline', 'not checked', 'PICKUP', 1, 1, 30)",
}


@pytest.fixture(scope="module")
def small_shop() -> Iterator[warehouse.Connection]:
    """Parcels of the bench, of invoices alone with and without a sale, of a claim alone; fees, credits, two months."""
    with built(
        sales=[{"sale_id": f"S{n}", "quantity": 2, "channel": f"c{n % 2}"} for n in range(4)],
        item_types=[{"item_type": "tripod"}],
        weights=[
            {"parcel_id": "P1", "sale_id": "S0"},
            {"parcel_id": "P2", "sale_id": "S0", "zone": None},
            {"parcel_id": "P3", "sale_id": "S1", "packed_quantity": 2, "shipped_on": "2026-09-02"},
        ],
        charges=[
            {"parcel_id": "P1", "charge_kind": "base", "amount_cents": 900},
            {"parcel_id": "P1", "charge_kind": "surcharge", "amount_cents": 20, **EARLIER},
            {"parcel_id": "P3", "charge_kind": "credit", "amount_cents": -100},
            {"parcel_id": "P4", "sale_id": "S2", "charge_kind": "base", "amount_cents": 700},
            {"parcel_id": "P5", "charge_kind": "base", "amount_cents": 50},
            {"charge_code": "PICKUP", "charge_kind": "surcharge", "amount_cents": 30},
        ],
        claims=[
            {"claim_id": "CL1", "parcel_id": "P1", "refund_cents": 500, "salvage_cents": 20},
            {"claim_id": "CL2", "parcel_id": "P9", "refund_cents": 70},
        ],
    ) as connection:
        yield connection


def failed(connection: warehouse.Connection, *planted: str) -> str:
    """The check that stops after these statements, which are taken back; nothing where none does."""
    connection.execute("begin")
    try:
        for statement in planted:
            connection.execute(statement)
        stop_on([*run_checks(connection, "total"), *run_checks(connection, "stop")])
    except CheckFailedError as stopped:
        return str(stopped)
    finally:
        connection.execute("rollback")
    return ""


def test_an_honest_shop_passes_every_check(small_shop: warehouse.Connection) -> None:
    assert failed(small_shop) == ""
    assert len(sql_texts("checks/total")) + len(sql_texts("checks/stop")) >= 7


@pytest.mark.parametrize("mart", COUNTED)
@pytest.mark.parametrize("more", [1, -1])
def test_a_parcel_lost_or_counted_twice_is_named(small_shop: warehouse.Connection, mart: str, more: int) -> None:
    one = f"rowid = (select min(rowid) from marts.{mart} where parcel_count > 0)"
    found = failed(small_shop, f"update marts.{mart} set parcel_count = parcel_count + {more} where {one}")
    assert "parcels_are_counted" in found and f"marts.{mart}" in found


@pytest.mark.parametrize("planted", ["delete from", "insert into marts.parcel_costs select * from"])
def test_an_unbilled_parcel_cannot_leave_the_costs_nor_come_twice(
    small_shop: warehouse.Connection, planted: str
) -> None:
    assert "mart marts.parcel_costs" in failed(small_shop, f"{planted} marts.parcel_costs where parcel_id = 'P2'")


@pytest.mark.parametrize("mart", SUMMED)
@pytest.mark.parametrize("column", ["billed_cents", "margin_cents"])
def test_a_cent_too_few_in_a_mart_is_named(small_shop: warehouse.Connection, mart: str, column: str) -> None:
    planted = f"update marts.{mart} set {column} = {column} - 1 where rowid = (select min(rowid) from marts.{mart})"
    found = failed(small_shop, planted)
    assert "cents_are_kept" in found and f"marts.{mart}" in found


@pytest.mark.parametrize(
    ("check", "planted"),
    [
        ("cents_are_kept", "update marts.item_type_costs set margin_cents = margin_cents + 1 where rowid = 0"),
        ("sums_are_kept", "update marts.invoice_totals set line_count = line_count + 1 where rowid = 0"),
        ("sums_are_kept", "update marts.invoice_totals set amount_cents = amount_cents - 1 where rowid = 0"),
        ("sums_are_kept", "update marts.charge_word_costs set amount_cents = amount_cents - 1 where rowid = 0"),
        ("claims_are_kept", "update marts.damage_counts set damage_net_cents = damage_net_cents + 1 where rowid = 0"),
        ("claims_are_kept", "delete from accepted.claims where claim_id = 'CL2'"),
        ("pieces_are_kept", "update marts.item_type_costs set piece_count = piece_count + 1 where rowid = 0"),
        ("pieces_are_kept", "update accepted.weights set packed_quantity = 3 where parcel_id = 'P3'"),
        ("sums_are_kept", "delete from accepted.charges where parcel_id = 'P5'"),
        ("shares_equal_costs", "update marts.parcel_line_costs set margin_cents = margin_cents + 1 where rowid = 0"),
    ],
)
def test_a_planted_loss_stops_the_build(small_shop: warehouse.Connection, check: str, planted: str) -> None:
    assert check in failed(small_shop, planted)


def test_each_sum_of_a_mart_is_held_to_its_rows(demo_folder: Path, tmp_path: Path) -> None:
    unlike: dict[str, str] = {}
    folder = shutil.copytree(demo_folder, tmp_path / "shop", ignore=shutil.ignore_patterns("archive", "inbox"))
    with warehouse.writing(load(folder), "test") as connection:
        assert failed(connection) == ""
        planted = {mart: f"insert into marts.{mart} values {row}" for mart, row in MORE.items()}
        for mart, column in SUMS.items():
            is_of_year = "_year" in mart or mart == "carriage_by_zone"
            last = f" where shipped_month = (select max(shipped_month) from marts.{mart})" if is_of_year else ""
            one = f"rowid = (select min(rowid) from marts.{mart}{last})"
            planted[mart] = f"update marts.{mart} set {column} = {column} + 1 where {one}"
        for mart, statement in planted.items():
            found = failed(connection, statement)
            if "sums_are_kept" not in found or f"marts.{mart}" not in found:
                unlike[mart] = found
    assert unlike == {}
