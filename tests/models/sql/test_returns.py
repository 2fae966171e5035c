"""Goods that came back undamaged: what they cost the margin, in which month, and what counts once."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from models.analyses import waterfall
from models.analyses.question import Question
from pipelines.build.checks import run_checks
from pipelines.shop.warehouse import Connection
from tests.shops import built, rows

PARCELS = ("P1", "P2", "P3")


def back(name: str, parcel: str, **more: Any) -> dict[str, Any]:
    return {"return_id": name, "parcel_id": parcel, **more}


@pytest.fixture(scope="module")
def shop() -> Iterator[Connection]:
    """P1: a way back of 17.20 and 15.00 lost. P2: its way back is billed under RB2. P3: sent free by the buyer."""
    with built(
        sales=[{"sale_id": f"S{name}"} for name in PARCELS],
        weights=[{"parcel_id": name, "sale_id": f"S{name}"} for name in PARCELS],
        charges=[
            *({"parcel_id": name, "charge_kind": "base", "amount_cents": 900} for name in PARCELS),
            {"parcel_id": "RB2", "charge_kind": "base", "amount_cents": 1_100},
            {"parcel_id": "LOST", "charge_kind": "base", "amount_cents": 700},
        ],
        returns=[
            back("R1", "P1", return_carriage_cents=1_720, depreciation_cents=1_500, resold_on="2026-10-30"),
            back("R2", "P2", return_parcel_id="RB2", return_carriage_cents=1_100, return_condition="opened"),
            back("R3", "P3"),
            back("R4", "nobody", return_carriage_cents=500),
        ],
        claims=[
            {"claim_id": "C1", "parcel_id": "P1", "claim_cause": "other", "return_cost_cents": 1_720, "refund_cents": 0}
        ],
    ) as connection:
        yield connection


def test_a_return_costs_its_parcel_and_a_way_back_that_is_billed_counts_once(shop: Connection) -> None:
    found = rows(shop, "select * from marts.parcel_costs where parcel_id in ('P1', 'P2', 'P3') order by parcel_id")
    assert [(row["return_carriage_cents"], row["depreciation_cents"]) for row in found] == [
        (1_720, 1_500),
        (0, 0),
        (0, 0),
    ]
    (month,) = rows(shop, "select * from marts.shipping_margin")
    assert month["billed_cents"] == 3 * 900 + 1_100 + 700
    assert (month["return_carriage_cents"], month["depreciation_cents"]) == (1_720, 1_500)
    assert [check.name for check in run_checks(shop, "total") if check.row_count] == []


def test_days_and_both_ways_stand_beside_each_other(shop: Connection) -> None:
    """Shipped 2 October, back on the 25th; the records end with the last return, as no later day is known."""
    found = {row["return_id"]: row for row in rows(shop, "select * from marts.returns")}
    assert set(found) == {"R1", "R2", "R3"}
    assert (found["R1"]["days_away"], found["R1"]["days_unsold"], found["R3"]["days_unsold"]) == (23, 28, 23)
    assert [found[name]["way_out_cents"] for name in ("R1", "R2")] == [900, 900]
    assert [found[name]["return_carriage_cents"] for name in ("R1", "R2", "R3")] == [1_720, 1_100, 0]


def test_a_shop_that_writes_down_no_sale_again_has_no_days_unsold() -> None:
    with built(
        sales=[{"sale_id": "SP1"}], weights=[{"parcel_id": "P1", "sale_id": "SP1"}], returns=[back("R1", "P1")]
    ) as connection:
        assert rows(connection, "select days_unsold from marts.returns") == [{"days_unsold": None}]


def test_a_way_back_is_no_bill_without_a_sale_and_what_may_count_twice_is_listed(shop: Connection) -> None:
    gaps = rows(shop, "select parcel_id from core.parcel_gaps where gap = 'bills without a sale'")
    assert gaps == [{"parcel_id": "LOST"}]
    warned = {check.name: check.row_count for check in run_checks(shop, "warn") if "return" in check.name}
    assert warned == {"returns_without_parcels": 1, "returns_claimed_too": 1}


def test_the_waterfall_has_a_step_of_its_own_and_ends_with_the_margin(shop: Connection) -> None:
    months = shop.execute("select * from marts.shipping_margin").df()
    completed = months[["shipped_month", "margin_cents"]].assign(completed_margin_cents=months["margin_cents"])
    tables = {"marts.shipping_margin": months, "analysis.completed_months": completed}
    steps = waterfall.compute(Question(tables, months["shipped_month"].iloc[0].date()))[waterfall.WRITES[0]]
    sums = dict(zip(steps["waterfall_step"], steps["waterfall_cents"], strict=True))
    assert sums["returns"] == -3_220
    assert sums[waterfall.LEFT] == months["margin_cents"].iloc[0]
