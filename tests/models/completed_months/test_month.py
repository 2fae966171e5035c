"""Whether a month counts as complete: nothing may be expected to come, and nothing that nobody knows."""

from __future__ import annotations

import pandas as pd
import pytest

from models.analyses.completed import Month, _change
from models.completed_months.expected_amounts import NOTHING, Drawn, known
from models.completed_months.unbilled import Unbilled
from models.completed_months.unsent import NONE

ROW = pd.Series(
    {"margin_cents": -1_000.0, "billed_cents": 100_000.0, "tax_reclaimed_cents": 0.0, "parcel_count": 40.0},
    name=pd.Timestamp("2026-10-01"),
)


@pytest.mark.parametrize(
    ("damage", "may_be_claimed", "unbilled", "is_completed"),
    [
        (NOTHING, True, 0, True),
        (None, False, 0, True),
        # Too few claims tell how late they come, and buyers may still report some: nobody knows.
        (None, True, 0, None),
        (None, True, 5_000, False),
        (known(5_000), True, 0, False),
    ],
)
def test_a_month_is_complete_where_nothing_is_expected_and_no_damage_unknown(
    damage: Drawn | None, may_be_claimed: bool, unbilled: int, is_completed: bool | None
) -> None:
    month = Month(ROW, Unbilled(known(unbilled), 0, 0), NOTHING, NONE, damage, NOTHING, may_be_claimed)
    assert month.cells()["is_completed"] is is_completed


LIMITS = ["completed_low_cents", "completed_high_cents", "billed_part"]


@pytest.mark.parametrize(("unpriced", "margin"), [(0, -1_000), (2, -1_000), (3, None)])
def test_a_month_has_no_limits_where_a_parcel_may_cost_anything_and_is_not_completed_where_many_may(
    unpriced: int, margin: int | None
) -> None:
    """Of 40 parcels two are a twentieth. However little is expected of the others, nothing is a share of the whole."""
    cells = Month(ROW, Unbilled(NOTHING, unpriced, unpriced), NOTHING, NONE, NOTHING, NOTHING, False).cells()
    assert cells["completed_margin_cents"] == margin
    assert cells["completed_per_parcel_cents"] == (None if margin is None else -25)
    assert [cells[name] for name in LIMITS] == ([None] * 3 if unpriced else [-1_000, -1_000, 1.0])
    assert cells["is_completed"] is (unpriced == 0)


def test_a_month_is_compared_without_limits_or_not_at_all_with_one_whose_parcels_may_cost_anything() -> None:
    whole, few, many = (
        Month(ROW, Unbilled(NOTHING, unpriced, unpriced), NOTHING, NONE, NOTHING, NOTHING, False)
        for unpriced in (0, 2, 3)
    )
    assert _change(whole, whole) == (0, 0, 0)
    assert _change(few, whole) == _change(whole, few) == (0, None, None)
    assert _change(many, whole) == _change(whole, many) == (None, None, None)
