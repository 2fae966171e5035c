"""Shipping charges that pay for themselves: by given and expected rows, by their own definition, and on a shop."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.analyses.guidance import LEAST_PARCELS, compute, guidance
from models.analyses.question import Question
from models.contracts import validated
from models.tables import TABLES
from pipelines.shop import warehouse
from tests.sampling import tries
from tests.shops import built, rows

LEVEL: dict[str, Any] = {
    "item_type": "tripod",
    "zone_band": "far",
    "first_on": pd.Timestamp("2025-11-03"),
    "last_on": pd.Timestamp("2026-10-30"),
    "parcel_count": 40,
    "median_cost_cents": 2_000,
    "high_cost_cents": 2_600,
    "damage_per_parcel_cents": 150,
    "shipping_charged_cents": 80_000,
    "allowance_cents": 20_000,
    "fee_on_shipping_cents": 8_000,
    "margin_cents": -12_000,
}


def advised(**level: Any) -> dict[str, Any]:
    found = guidance(pd.DataFrame([LEVEL | level]))
    return dict(validated(found, TABLES["analysis.shipping_guidance"], "the test").iloc[0])


def test_the_charge_covers_cost_damage_and_its_own_fee() -> None:
    found = advised()
    assert found["fee_share"] == pytest.approx(0.1)
    assert found["charged_per_parcel_cents"] == 2_000
    assert found["break_even_cents"] == 2_500  # 26.00 + 1.50 - 5.00 allowance = 22.50, and a tenth of 25.00 is the fee
    assert found["shortfall_cents"] == 500
    assert found["margin_per_parcel_cents"] == -300
    assert not found["is_too_few"]


def test_an_allowance_that_covers_all_needs_no_charge() -> None:
    found = advised(allowance_cents=400_000)
    assert (found["break_even_cents"], found["shortfall_cents"]) == (0, -2_000)


def test_goods_sent_free_have_no_fee_to_go_by() -> None:
    found = advised(shipping_charged_cents=0, fee_on_shipping_cents=0)
    assert (found["fee_share"], found["break_even_cents"]) == (0, 2_250)


@pytest.mark.common_practice  # common practice, no source: fewer than twenty are too few for a percentile
def test_few_parcels_are_flagged() -> None:
    assert LEAST_PARCELS == 20
    assert advised(parcel_count=19)["is_too_few"]
    assert not advised(parcel_count=20)["is_too_few"]


@settings(derandomize=True, deadline=None, max_examples=tries(60))
@given(
    cost=st.integers(0, 20_000), damage=st.integers(-100, 900), charged=st.integers(0, 4_000), fee=st.integers(0, 20)
)
def test_at_the_charge_the_parcel_at_the_percentile_pays_for_itself(
    cost: int, damage: int, charged: int, fee: int
) -> None:
    found = advised(
        high_cost_cents=cost,
        damage_per_parcel_cents=damage,
        shipping_charged_cents=charged * 40,
        fee_on_shipping_cents=charged * 40 * fee // 100,
    )
    left = found["break_even_cents"] * (1 - found["fee_share"]) + 500 - cost - damage
    assert left >= -1e-6
    assert found["break_even_cents"] == 0 or left < 1 + 1e-6


def test_levels_of_a_shop_are_percentiles_of_its_one_piece_parcels() -> None:
    costs = [1_000 + 37 * n * n for n in range(25)]
    with built(
        sales=[{"sale_id": f"S{n}", "shipping_charged_cents": 1_500} for n in range(28)],
        weights=[
            *({"parcel_id": f"P{n}", "sale_id": f"S{n}", "zone": "2"} for n in range(25)),
            {"parcel_id": "P25", "sale_id": "S25", "packed_quantity": 2, "zone": "2"},
            {"parcel_id": "P26", "sale_id": "S26", "zone": "2", "shipped_on": "2025-10-31"},
            {"parcel_id": "P27", "sale_id": "S27", "zone": "2"},
        ],
        charges=[
            {"parcel_id": f"P{n}", "charge_kind": "base", "amount_cents": cents}
            for n, cents in enumerate([*costs, 99_000, 99_000])
        ],
        claims=[{"claim_id": "C1", "parcel_id": "P3", "refund_cents": 5_000}],
    ) as connection:
        (found,) = rows(connection, "select * from marts.shipping_cost_levels")
    assert (found["item_type"], found["zone_band"], found["parcel_count"]) == ("tripod", "zones up to 3", 25)
    # Linear interpolation between order statistics, as numpy's default (Hyndman and Fan's definition 7).
    assert found["past_high_cents"] == round(float(np.percentile(costs, 80)))
    assert found["past_median_cents"] == round(float(np.percentile(costs, 50)))
    assert found["damage_per_parcel_cents"] == 200
    assert found["shipping_charged_cents"] == 25 * 1_500


def test_zones_are_banded_by_number() -> None:
    bands = {
        "2": "zones up to 3",
        "03": "zones up to 3",
        "4": "zones 4 and 5",
        "5": "zones 4 and 5",
        "6": "zones 6 and more",
        "17": "zones 6 and more",
        "B": "zone B",
        "North": "zone North",
    }
    zones = [*bands, None]
    with built(weights=[{"parcel_id": f"P{z}", "sale_id": f"S{z}", "zone": z} for z in zones]) as connection:
        known = rows(connection, "select zone, zone_band from core.zone_bands")
        cells = rows(connection, "select zone, zone_band from marts.margin_cells")
    for found in (known, cells):
        assert {row["zone"]: row["zone_band"] for row in found} == bands | {"unknown": "unknown"}


def test_a_shop_without_parcels_gets_no_guidance() -> None:
    empty = pd.DataFrame(columns=list(LEVEL))
    costs = pd.DataFrame(columns=list(TABLES["analysis.forward_costs"].columns))
    asked = {"marts.shipping_cost_levels": empty, "analysis.forward_costs": costs}
    found = compute(Question(asked, date(2026, 10, 31)))
    assert validated(found["analysis.shipping_guidance"], TABLES["analysis.shipping_guidance"], "the test").empty


def test_the_demo_shop_is_told_what_its_long_goods_need(demo: warehouse.Connection) -> None:
    found = {(r["item_type"], r["zone_band"]): r for r in rows(demo, "select * from analysis.shipping_guidance")}
    tripods = found["tripod", "zones 6 and more"]
    assert not tripods["is_too_few"]
    assert tripods["shortfall_cents"] > 1_500  # long goods lose on shipping; see sample_data/README.md
    assert found["mount head", "zones up to 3"]["shortfall_cents"] < 0  # heavy ones earn
