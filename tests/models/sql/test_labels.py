"""What labels say: quoted against billed, labels never used, and what of them is never taken for a fact."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import parsed, prices_text, rules_text
from tests.shops import built, rows


def label(parcel: str, **more: Any) -> dict[str, Any]:
    return {"parcel_id": parcel, "quoted_cents": 1_000, **more}


def base(parcel: str, cents: int, **more: Any) -> dict[str, Any]:
    return {"parcel_id": parcel, "charge_kind": "base", "amount_cents": cents, **more}


TYPED = {"typed_weight_lb": 10, "typed_length_in": 20, "typed_width_in": 8, "typed_height_in": 8}


@pytest.fixture(scope="module")
def shop() -> Iterator[warehouse.Connection]:
    text = rules_text("stated", effective_from="2026-09-01")
    text = text.replace("claim_days = 60", "claim_days = 60\nlabel_refund_days = 30")
    with built(
        price_lists=[parsed("stated.toml", text, lambda name: prices_text())],
        sales=[{"sale_id": f"S{n}", "item_type": each} for n, each in enumerate(("rod", "rod", "lens", "rod"))],
        labels=[
            label("P0", sale_id="S0", first_scan_on="2026-10-02", **TYPED),
            label("P1", sale_id="S1", first_scan_on="2026-10-02", **TYPED),
            label("P2", sale_id="S2", first_scan_on="2026-10-02", quoted_cents=None),
            label("P3", sale_id="S3", is_voided=True),
            label("BENCH", sale_id="S1", first_scan_on="2026-10-02", **TYPED),
            # Never scanned.
            label("U-known", carrier="stated", bought_on="2026-10-03"),
            label("U-before", carrier="stated", bought_on="2026-08-03", quoted_cents=None),
            label("U-free", carrier="stated", bought_on="2026-10-03", quoted_cents=0),
            label("U-voided", carrier="stated", bought_on="2026-10-03", is_voided=True),
            label("U-billed", carrier="stated", bought_on="2026-10-03"),
            label("U-recent", carrier="stated", bought_on="2026-10-25"),
            label("S-scanned", carrier="stated", bought_on="2026-10-28", first_scan_on="2026-10-30"),
            label("U-open", bought_on="2026-10-20"),
            label("SILENT", carrier="Never scans", bought_on="2026-10-03"),
        ],
        weights=[{"parcel_id": "BENCH", "sale_id": "S0", "carton_code": "C1"}],
        charges=[
            base("P0", 900, billed_weight_lb=11, billed_length_in=20.5),
            {"parcel_id": "P0", "charge_kind": "surcharge", "amount_cents": 450},
            {"parcel_id": "P0", "charge_kind": "adjustment", "amount_cents": -50, "invoice_number": "I2"},
            base("P1", 800, billed_weight_lb=10.9, billed_length_in=21),
            base("P2", 700),
            base("P3", 650),
            base("U-billed", 500, carrier="stated"),
        ],
    ) as connection:  # fmt: skip
        yield connection


def test_a_label_joins_a_parcel_to_its_sale(shop: warehouse.Connection) -> None:
    found = rows(shop, "select parcel_id, item_type from core.parcels where parcel_id in ('P0', 'P2', 'P3') order by 1")
    assert found == [
        {"parcel_id": "P0", "item_type": "rod"},
        {"parcel_id": "P2", "item_type": "lens"},
        {"parcel_id": "P3", "item_type": "unknown"},
    ]


def test_quoted_and_billed_are_of_the_same_parcels(shop: warehouse.Connection) -> None:
    found = rows(shop, "select * from marts.quoted_against_billed where item_type = 'rod'")
    assert [{name: value for name, value in row.items() if name != "shipped_month"} for row in found] == [
        {
            "item_type": "rod",
            "parcel_count": 2,
            "quoted_cents": 2_000,
            "billed_cents": 1_300 + 800,
            "above_quote_cents": 100,
            "above_quote_count": 1,
            "heavier_count": 1,
            "larger_count": 1,
        }
    ]


def test_paid_labels_never_scanned_have_the_last_day_of_a_refund_where_a_tariff_states_it(
    shop: warehouse.Connection,
) -> None:
    found = {row["parcel_id"]: row for row in rows(shop, "select * from marts.unused_labels")}
    assert sorted(found) == ["U-before", "U-known", "U-open"]
    assert (found["U-known"]["refund_by_on"], found["U-known"]["refund_days_left"]) == (date(2026, 11, 2), 3)
    assert found["U-known"]["unscanned_days"] == 27
    assert found["U-open"]["refund_by_on"] is None and found["U-open"]["refund_days_left"] is None
    assert found["U-before"]["refund_by_on"] is None and found["U-before"]["quoted_cents"] is None


def test_scans_are_counted_by_carrier_without_voided_labels(shop: warehouse.Connection) -> None:
    """As the label history says it, counted beside the model: a carrier without a scan reports none."""
    labels = rows(shop, "select carrier, is_voided, first_scan_on from accepted.labels")
    paid = [row for row in labels if not row["is_voided"]]
    assert {
        row["carrier"]: (row["label_count"], row["scanned_count"]) for row in rows(shop, "from marts.label_scans")
    } == {
        carrier: (
            sum(row["carrier"] == carrier for row in paid),
            sum(row["carrier"] == carrier and row["first_scan_on"] is not None for row in paid),
        )
        for carrier in {row["carrier"] for row in paid}
    }


def test_what_was_typed_is_nowhere_taken_as_measured(shop: warehouse.Connection) -> None:
    asked = "select parcel_id, scale_weight_lb, length_in, width_in, height_in from core.parcels where parcel_id <> 'X'"
    for row in rows(shop, asked):
        assert [value for name, value in row.items() if name != "parcel_id"] == [None] * 4
    assert rows(shop, "select sum(measured_parcel_count) as n from marts.coverage")[0]["n"] == 0


def test_no_model_but_those_of_labels_reads_what_was_typed() -> None:
    """Neither the rating, nor the check of bills, nor what is learned of cartons can rest on it."""
    folder = Path(__file__).parents[3] / "models" / "sql"
    readers = {path.name for path in folder.rglob("*.sql") if "typed_" in path.read_text(encoding="utf-8")}
    assert readers == {"labels.sql", "quoted_parcels.sql"}


def test_a_voided_label_names_no_sale_and_costs_nothing(shop: warehouse.Connection) -> None:
    (found,) = rows(shop, "select * from marts.parcel_costs where parcel_id = 'P3'")
    assert (found["billed_cents"], found["shipping_charged_cents"]) == (650, 0)


def test_a_bench_log_counts_before_a_label(shop: warehouse.Connection) -> None:
    found = rows(shop, "select sale_id from core.packed_lines where parcel_id = 'BENCH'")
    assert found == [{"sale_id": "S0"}]
    doubted = rows(shop, "select parcel_id from core.parcel_doubts where doubt = 'sales disagree'")
    assert doubted == [{"parcel_id": "BENCH"}]
