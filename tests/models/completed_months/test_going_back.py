"""Months completed as they would have been at past month-ends, from the records known then: a sample of
`python -m tests.benchmarks completed`, which goes back over 24 month-ends of five shops."""

from __future__ import annotations

import pandas as pd
import pytest

from tests.late_shops import SHOPS, completed_on, generated, month_ends

PARTS = ("margin_cents", "income_to_come_cents", "recovery_to_come_cents")
COSTS = ("carriage_to_come_cents", "packing_to_come_cents", "damage_to_come_cents")


# Without a bench log income is missing as well as carriage, so that the margin so far is not so far off.
@pytest.mark.parametrize(("name", "times"), [("one weekly, one monthly", 3), ("sales and charges only", 1)])
def test_the_completed_month_is_nearer_to_what_it_made_at_last(name: str, times: int) -> None:
    shop = generated(SHOPS[name])
    made, errors = shop.final_margins(), {"completed_margin_cents": 0, "margin_cents": 0}
    for day in month_ends(24)[::12]:
        rows = completed_on(shop, day)
        month = day.to_period("M").start_time
        for column in errors:
            errors[column] += abs(int(rows[column].loc[month]) - int(made[month]))
        _add_up(rows)
        old = rows.loc[rows.index[:4]]
        assert (old["completed_margin_cents"] - made.reindex(old.index)).abs().max() <= 2_000
    assert times * errors["completed_margin_cents"] <= errors["margin_cents"]


def _add_up(rows: pd.DataFrame) -> None:
    cents = rows[[*PARTS, *COSTS]].fillna(0).astype("int64")
    assert (cents[list(PARTS)].sum(axis=1) - cents[list(COSTS)].sum(axis=1)).equals(
        rows["completed_margin_cents"].astype("int64")
    )
    assert (rows["completed_low_cents"] <= rows["completed_margin_cents"]).all()
    assert (rows["completed_margin_cents"] <= rows["completed_high_cents"]).all()
