"""Whether a month counts as complete: nothing may be expected to come, and nothing that nobody knows."""

from __future__ import annotations

import pandas as pd
import pytest

from models.analyses.completed import Month
from models.completed_months.expected_amounts import NOTHING, Drawn, known
from models.completed_months.unbilled import Unbilled
from models.completed_months.unsent import NONE


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
    row = pd.Series(
        {"margin_cents": -1_000.0, "billed_cents": 100_000.0, "tax_reclaimed_cents": 0.0, "parcel_count": 40.0},
        name=pd.Timestamp("2026-10-01"),
    )
    month = Month(row, Unbilled(known(unbilled), 0, 0), NOTHING, NONE, damage, NOTHING, may_be_claimed)
    assert month.cells()["is_completed"] is is_completed
