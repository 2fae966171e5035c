"""The bridge between two margins: adds up to the cent, and says what a literal reading of its definition says."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.analyses.bridge import TOTAL, bridge, compute
from models.analyses.bridge_steps import ACCOUNT, GIVEN, ITEM_MIX, KINDS, LANE_MIX, STEPS, VOLUME
from models.analyses.question import Question
from models.contracts import validated
from models.sql_texts import sql_texts
from models.tables import TABLES
from tests.models.analyses.literal_bridge import Cells, Pair, literal_steps, margin
from tests.sampling import tries
from tests.shops import built, rows

MONEY = tuple(name for signs in KINDS.values() for name in signs)


def frame(cells: Cells) -> pd.DataFrame:
    """Rows as the marts give them; money not stated is none."""
    plain = {"item_type": "tripod", "carrier": "Northline", "service": "ground", "zone_band": "near", "parcel_count": 1}
    whole = [{**plain, **dict.fromkeys(MONEY, 0), **cell} for cell in cells]
    return pd.DataFrame(whole, columns=[*plain, *MONEY])


def steps(before: Cells, after: Cells) -> dict[str, int]:
    found = bridge(frame(before), frame(after)).iloc[:-1]
    return dict(zip(found["bridge_step"], found["margin_step_change_cents"].astype(int), strict=True))


def sold(item_type: str, units: int, each_cents: int) -> dict[str, Any]:
    return {"item_type": item_type, "parcel_count": units, "shipping_charged_cents": units * each_cents}


@pytest.mark.published
def test_quantity_and_mix_of_two_products() -> None:
    """OpenTuition, Ask the Tutor ACCA PM, topic "variances F5" (about 2013): budget 7,000 X at $9 and 3,000 Y at $12
    standard contribution, sold 8,000 and 7,000; the sales mix variance is 7,500 favourable. There the mix changes last;
    were it to change first, it would be worth 5,000 (10,000 pieces, a sixth of them dearer by $3). The mean is ours."""
    found = steps([sold("X", 7_000, 900), sold("Y", 3_000, 1_200)], [sold("X", 8_000, 900), sold("Y", 7_000, 1_200)])
    assert found[ITEM_MIX] == (7_500_00 + 5_000_00) / 2
    assert found[VOLUME] + found[ITEM_MIX] == 156_000_00 - (7_000 * 9 + 3_000 * 12) * 100


def test_price_and_quantity_share_what_they_change_together() -> None:
    """T. L. Bennet, "The theory of measurement of changes in cost of living", JRSS 83 (1920), 455-462: each change at
    the mean of the other before and after."""
    found = steps([sold("X", 40, 500)], [sold("X", 60, 700)])
    assert {step: cents for step, cents in found.items() if cents} == {
        "shipping charged": 200 * (40 + 60) // 2,
        VOLUME: 20 * (500 + 700) // 2,
    }


def test_what_can_be_acted_on_stands_before_what_buyers_chose() -> None:
    found = bridge(frame([{}]), frame([{}])).iloc[:-1]
    assert found["bridge_step"].iloc[-3:].tolist() == [LANE_MIX, ITEM_MIX, VOLUME]
    assert set(found.loc[~found["is_actionable"], "bridge_step"]) == set(GIVEN) < set(STEPS)


@pytest.mark.published
def test_quantity_of_three_products() -> None:
    """PM Integrated Workbook 2018-19 (Kaplan), chapter 10, page 282: 8,000 tables at $760, 26,000 chairs at $94 and
    6,000 sideboards at $940 (thousands) average 354.10; 46,000 pieces in the same mix instead of 40,000 are worth
    2,124.60 thousand."""
    before = [sold("table", 8_000, 760), sold("chair", 26_000, 94), sold("sideboard", 6_000, 940)]
    after = [sold("table", 9_200, 760), sold("chair", 29_900, 94), sold("sideboard", 6_900, 940)]
    assert steps(before, after)[VOLUME] == 2_124_600  # a cent stands for a thousand dollars of the print
    assert steps(before, after)[ITEM_MIX] == 0


def test_a_price_rise_is_base_price_and_fuel_not_mix() -> None:
    before = [{"parcel_count": 10, "base_cents": 10_000, "fuel_cents": 1_000, "shipping_charged_cents": 20_000}]
    after = [{"parcel_count": 20, "base_cents": 22_000, "fuel_cents": 2_400, "shipping_charged_cents": 40_000}]
    found = steps(before, after)
    assert {step: cents for step, cents in found.items() if cents} == {
        VOLUME: 8_400,  # ten parcels more, at 9.00 each before and 7.80 after
        "base price": -1_500,  # a dollar more for ten parcels before and twenty after
        "fuel": -300,
    }


def test_farther_parcels_are_mix_of_zones() -> None:
    near = {"zone_band": "near", "base_cents": 1_000}
    far = {"zone_band": "far", "base_cents": 3_000}
    before = [near | {"parcel_count": 2, "base_cents": 2_000}, far | {"parcel_count": 2, "base_cents": 6_000}]
    after = [near, far | {"parcel_count": 3, "base_cents": 9_000}]
    assert {step: cents for step, cents in steps(before, after).items() if cents} == {LANE_MIX: -2_000}


def test_a_new_item_type_is_mix_and_says_so() -> None:
    found = bridge(
        frame([{"item_type": "tripod", "base_cents": 500}]),
        frame([{"item_type": "tripod", "base_cents": 500}, {"item_type": "dome", "base_cents": 9_000}]),
    ).set_index("bridge_step")
    # One parcel more, at the 5.00 of before or the 47.50 of after; half the goods dearer by 85.00, of one or two.
    assert found.loc[VOLUME, "margin_step_change_cents"] == -(500 + 4_750) / 2
    assert found.loc[ITEM_MIX, "margin_step_change_cents"] == -4_250 * (1 + 2) / 2
    assert found.loc[ITEM_MIX, "main_item_type"] == "dome"
    assert found.loc["base price", "margin_step_change_cents"] == 0


def test_a_claim_of_the_month_before_does_not_count_as_mix_of_zones() -> None:
    before: Cells = [{"zone_band": "near", "damage_net_cents": 40_000}, {"zone_band": "far"}]
    after: Cells = [{"zone_band": "near"}, {"zone_band": "far", "parcel_count": 2}]
    found = steps(before, after)
    assert found[LANE_MIX] == 0
    # 200.00 less a parcel, for two parcels before and three after.
    assert found["damage, net"] == 20_000 * (2 + 3) / 2


def test_account_fees_are_their_own_step() -> None:
    fee = {"item_type": "account fees", "service": "unknown", "zone_band": "unknown", "parcel_count": 0}
    found = steps([{}, fee | {"surcharge_cents": 700}], [{}, fee | {"surcharge_cents": 900, "tax_cents": 50}])
    assert {step: cents for step, cents in found.items() if cents} == {ACCOUNT: -250}


def drawn_cells(seed: int, size: int) -> Cells:
    """Random cells, some of them the same cell twice, some without a parcel."""
    draw = np.random.default_rng(seed)
    choices = {
        "item_type": ("tripod", "mount", "account fees"),
        "carrier": ("Northline", "Corvane"),
        "service": ("ground", "express"),
        "zone_band": ("near", "far"),
    }
    return [
        {name: str(draw.choice(among)) for name, among in choices.items()}
        | {"parcel_count": int(draw.choice((0, 1, 2, 40)))}
        | {name: int(draw.integers(-500, 90_000)) for name in MONEY}
        for _ in range(size)
    ]


CELLS = st.builds(drawn_cells, st.integers(0, 2**32), st.integers(0, 9))


@settings(derandomize=True, deadline=None, max_examples=tries(200))
@given(before=CELLS, after=CELLS)
def test_any_two_periods_add_up_and_follow_the_definition(before: Cells, after: Cells) -> None:
    found = bridge(frame(before), frame(after))
    changes, total = found["margin_step_change_cents"].tolist()[:-1], found.iloc[-1]
    assert total["margin_step_change_cents"] == sum(changes) == margin(after) - margin(before)
    assert total["margin_reached_cents"] == margin(after)
    assert found["from_cents"].tolist() == [*(sum(changes[:at]) for at in range(len(changes))), 0]
    reached = [margin(before) + sum(changes[: at + 1]) for at in range(len(changes))]
    assert found["margin_reached_cents"].tolist()[:-1] == reached
    literal = literal_steps(before, after)
    for step, change in zip(STEPS, changes, strict=True):
        assert abs(change - literal[step]) <= 1, step


def test_no_order_of_six_factors_is_preferred() -> None:
    """All 720 orders of the three kinds that move and of mix and volume, each factor a player of its own."""
    kinds = ("shipping charged", "base price", "damage, net")
    moved = [name for kind in kinds for name in KINDS[kind]]
    before, after = (
        [{**cell, **{name: 0 for name in MONEY if name not in moved}} for cell in drawn_cells(seed, 9)]
        for seed in (7, 8)
    )
    found, literal = steps(before, after), Pair(before, after).averaged(kinds)
    assert all(abs(found[step] - cents) <= 1 for step, cents in literal.items())
    assert min(abs(cents) for cents in literal.values()) > 1_000


@settings(derandomize=True, deadline=None, max_examples=tries(60))
@given(before=CELLS, after=CELLS)
def test_neither_the_order_of_rows_nor_of_time_matters(before: Cells, after: Cells) -> None:
    there = steps(before, after)
    assert steps(before[::-1], after[::-1]) == there
    back = steps(after, before)
    # The odd cent goes to the largest remainder, which is another one on the way back.
    assert all(abs(there[step] + back[step]) <= 1 for step in STEPS)


@settings(derandomize=True, deadline=None, max_examples=tries(30))
@given(cells=CELLS)
def test_a_period_against_itself_changes_nothing(cells: Cells) -> None:
    assert set(steps(cells, cells).values()) <= {0}


def test_one_month_alone_has_no_bridge() -> None:
    for months in ([], ["2026-10-01"]):
        cells = frame([{}] * len(months)).assign(shipped_month=pd.to_datetime(months))
        found = compute(Question({"bridge_cells": cells}, date(2026, 10, 31)))["analysis.margin_bridge"]
        assert validated(found, TABLES["analysis.margin_bridge"], "the test").empty


def test_months_of_a_shop_are_bridged_from_margin_to_margin() -> None:
    months = ("2026-08", "2026-09", "2026-10")
    with built(
        sales=[
            {"sale_id": f"S{n}", "shipping_charged_cents": 900 + 31 * n, "item_type": f"T{n % 4}"} for n in range(60)
        ],
        weights=[
            {
                "parcel_id": f"P{n}",
                "sale_id": f"S{n}",
                "zone": str(2 + n % 7),
                "shipped_on": f"{months[n % 3]}-0{1 + n % 9}",
            }
            for n in range(60)
        ],
        charges=[
            {
                "parcel_id": f"P{n % 57}",
                "charge_kind": ("base", "fuel", "surcharge")[n % 3],
                "amount_cents": 300 + 7 * n,
            }
            for n in range(140)
        ],
    ) as connection:
        cells = rows(
            connection, "select sum(margin_cents) as cents, sum(parcel_count) as parcels from marts.margin_cells"
        )
        months_found = rows(connection, "select shipped_month, margin_cents from marts.shipping_margin order by 1")
        asked = Question(
            {"bridge_cells": connection.execute(sql_texts("queries")["bridge_cells"]).df()}, date(2026, 10, 31)
        )
    found = compute(asked)["analysis.margin_bridge"]
    assert [int(cells[0]["cents"]), int(cells[0]["parcels"])] == [sum(r["margin_cents"] for r in months_found), 60]
    ends = found[found["bridge_step"] == TOTAL]
    margins = [r["margin_cents"] for r in months_found]
    assert ends["margin_reached_cents"].tolist() == margins[1:]
    assert ends["margin_step_change_cents"].tolist() == [b - a for a, b in pairwise(margins)]
