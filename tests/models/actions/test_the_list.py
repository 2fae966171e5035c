"""The list of actions: a floor, sums of what is expected, ways that exclude one another in one row."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pandas as pd

from dashboards.word_columns import worded
from models.actions.action import Action
from models.actions.savings import carton_actions
from models.actions.sizes import size_actions
from models.analyses.actions import WRITES, compute, in_order, other_ways, ranked, the_plan
from models.analyses.question import Question
from models.contracts import validated
from models.shop_units import Units
from models.tables import TABLES
from tests.models.actions.test_sizes import ADVICE, RUN, moved, saving
from tests.models.actions.test_sources import OUTCOMES, advised, carton, dispute, frame


def asked(least_cents: int | None = None, outstanding: int = 1_100, **cartons: int) -> dict[str, pd.DataFrame]:
    """What is found of one dispute with a chance of 0.4, one change of carton with 13/14, and a higher charge."""
    tables = {
        "action_disputes": frame(dispute(difference_class="sides re-measured", outstanding_cents=outstanding)),
        "action_dispute_outcomes": OUTCOMES,
        "action_cartons": frame(carton(**cartons)),
        "analysis.shipping_guidance": frame(advised()),
    }
    options = {} if least_cents is None else {"advice": {"least_cents": least_cents}}
    return compute(Question(tables, dt.date(2026, 11, 20), options))


def kinds(found: Any) -> list[str]:
    return list(found["analysis.actions"]["action_kind"])


def test_what_is_expected_to_bring_less_than_the_floor_is_not_advised() -> None:
    assert kinds(asked()) == ["carton", "charge"]  # four tenths of 11.00 are 4.40
    assert kinds(asked(outstanding=1_250)) == ["carton", "dispute", "charge"]
    assert kinds(asked(440)) == ["carton", "dispute", "charge"]
    assert kinds(asked(440, saving_cents=5_600)) == ["dispute", "charge"]  # thirteen of fourteen parts of 4.66
    assert kinds(asked(30_000)) == ["carton"]


def test_sums_hold_what_is_expected_and_neither_trials_nor_charges() -> None:
    found = asked(0)
    rows, totals, ways = (validated(found[name], TABLES[name], "the test") for name in WRITES)
    assert ways.empty
    assert totals.iloc[0].to_dict() == {
        "action_count": 2,
        "expected_month_cents": 92_857,  # thirteen of fourteen parts of 1,000.00
        "expected_once_cents": 440,
        "once_cost_cents": 0,
        "apart_count": 1,
        "not_looked_at": totals["not_looked_at"].iloc[0],
    }
    assert rows["is_in_sum"].tolist() == [True, True, False]
    assert rows.iloc[-1]["saving_month_cents"] == 20_000


def sizes_and_cartons(saved: int) -> list[Action]:
    """Sizes for the tripod that save so much a year, with a change of carton for the dome that goes with them."""
    dome = moved(item_type="dome", carton_code="D-1", best_carton_code="D-2", is_bought=False, saving_cents=120_000)
    tripod = moved(item_type="tripod", saving_cents=saved)
    return size_actions(RUN, ADVICE, saving(200, 190, 210), frame(tripod, dome))


def test_ways_that_exclude_one_another_stand_in_one_row() -> None:
    stock = carton_actions(frame(carton(saving_cents=240_000), carton(carton_code="C-50", saving_cents=60_000)))
    kept = the_plan([*sizes_and_cartons(1_200_000), *stock], 500)
    assert [each.action_kind for each in kept] == ["sizes", "carton"]
    assert kept[1].facts["item_type"] == "dome"
    assert list(kept[0].other_ways) == stock
    assert kept[0].other_month_cents == 18_571 + 4_643  # thirteen of fourteen parts of 200.00 and of 50.00
    better = the_plan([*sizes_and_cartons(120_000), *stock], 500)
    assert [each.facts.get("carton_code") for each in better] == ["C-48", "C-50"]
    assert [len(each.other_ways) for each in better] == [1, 0]


def test_what_costs_something_once_says_when_it_has_paid() -> None:
    order = in_order(the_plan(sizes_and_cartons(1_200_000), 500))
    rows = validated(ranked(order), TABLES["analysis.actions"], "the test")
    sizes, change = rows.iloc[0], rows.iloc[1]
    assert (sizes["action_kind"], sizes["once_cost_cents"]) == ("sizes", 24_000)
    assert sizes["payback_months"] == 24_000 / sizes["expected_month_cents"] and pd.isna(change["payback_months"])


def test_a_plan_falls_with_its_first_action() -> None:
    """Sizes that would bring less than the floor beside the changes of carton that need them are not advised."""
    assert the_plan(sizes_and_cartons(-12_000), 500) == []


def test_the_other_way_is_reported_with_how_many_more_it_excludes() -> None:
    small = carton_actions(frame(carton(saving_cents=240_000), carton(carton_code="C-50", saving_cents=120_000)))
    order = in_order(the_plan([*sizes_and_cartons(1_200_000), *small], 500))
    tables = {"analysis.actions": ranked(order), "analysis.other_ways": other_ways(order)}
    validated(tables["analysis.other_ways"], TABLES["analysis.other_ways"], "the test")
    shown = worded(tables, Units("USD"))["analysis.actions"]["other_way"]
    assert shown.tolist()[0] == "tripod: carton C-46 instead of C-48 and 1 more change"


def test_a_change_that_the_plan_has_too_is_no_other_way() -> None:
    """The dome changes its carton with the sizes as without them; only the tripod's change is another way."""
    dome = {"item_type": "dome", "carton_code": "D-1", "best_carton_code": "D-2"}
    stock = carton_actions(frame(carton(**dome, saving_cents=120_000), carton(saving_cents=240_000)))
    sizes, beside = the_plan([*sizes_and_cartons(1_200_000), *stock], 500)
    assert list(sizes.other_ways) == [stock[1]]
    assert beside.facts["item_type"] == "dome" and not beside.other_ways
