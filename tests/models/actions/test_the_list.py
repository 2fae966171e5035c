"""The list of actions: a floor, sums of what is expected, ways that exclude one another in one row."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pandas as pd

from dashboards.worded import worded
from models.actions.exclusive import one_row_each
from models.actions.savings import carton_actions, size_actions
from models.analyses.actions import WRITES, compute, in_order, other_ways, ranked
from models.analyses.question import Question
from models.contracts import validated
from models.shop_units import Units
from models.tables import TABLES
from tests.models.actions.test_sources import (
    ADVICE,
    KEPT,
    OUTCOMES,
    SIZES,
    advised,
    carton,
    dispute,
    frame,
    saving,
)


def asked(least_cents: int | None = None, outstanding: int = 1_100, **cartons: int) -> dict[str, pd.DataFrame]:
    """What is found of one dispute with a chance of 0.4, one change of carton with 0.9, and a higher charge."""
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
    assert kinds(asked(440, saving_cents=5_800)) == ["dispute", "charge"]  # nine tenths of 4.83
    assert kinds(asked(30_000)) == ["carton"]


def test_sums_hold_what_is_expected_and_neither_trials_nor_charges() -> None:
    found = asked(0)
    rows, totals, ways = (validated(found[name], TABLES[name], "the test") for name in WRITES)
    assert ways.empty
    assert totals.iloc[0].to_dict() == {
        "action_count": 2,
        "expected_month_cents": 90_000,  # nine tenths of 1,000.00
        "expected_once_cents": 440,
        "apart_count": 1,
        "not_looked_at": totals["not_looked_at"].iloc[0],
    }
    assert rows["is_in_sum"].tolist() == [True, True, False]
    assert rows.iloc[-1]["saving_month_cents"] == 20_000


def test_ways_that_exclude_one_another_stand_in_one_row() -> None:
    (sizes,) = size_actions(SIZES, ADVICE, saving(200, 90), KEPT.assign(item_type="tripod"))  # 1,000.00 by nine tenths
    misses = carton_actions(frame(carton(saving_cents=240_000), carton(item_type="dome")))
    better = carton_actions(frame(carton(saving_cents=960_000), carton(carton_code="C-50", saving_cents=480_000)))
    kept = one_row_each([sizes, *misses])
    assert [each.action_kind for each in kept] == ["carton", "sizes"]
    assert [each.other_ways for each in kept] == [(), [misses[0]]]
    assert kept[1].other_month_cents == 18_000
    first, second = one_row_each([sizes, *better])
    assert (first.other_ways, first.other_month_cents) == ([sizes], 90_000)
    assert (second.other_ways, second.facts) == ((), better[1].facts)
    assert one_row_each(misses) == misses


def test_the_other_way_is_told_with_how_many_more_it_excludes() -> None:
    (sizes,) = size_actions(SIZES, ADVICE, saving(200, 90), KEPT.assign(item_type="tripod"))
    small = carton_actions(frame(carton(saving_cents=240_000), carton(carton_code="C-50", saving_cents=120_000)))
    order = in_order(one_row_each([sizes, *small]))
    tables = {"analysis.actions": ranked(order), "analysis.other_ways": other_ways(order)}
    validated(tables["analysis.other_ways"], TABLES["analysis.other_ways"], "the test")
    (told,) = worded(tables, Units("USD"))["analysis.actions"]["other_way"]
    assert told == "tripod: carton C-46 instead of C-48 and 1 more change"
