"""Whether the months held out bear a change of carton out, by given and expected rows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pandas as pd
import pytest

from models.assortment import bootstrap_saving
from models.carton_choice.held_out import changes_held_out
from models.plain_rows import as_dicts

NAMED = {"item_type": "tripod", "today_code": "C-48", "best_carton_code": "C-46", "size_source": "stock"}
CHANGE: dict[str, Any] = {**NAMED, "is_cut": False, "is_saving_alone": True}
WEEKS = pd.date_range("2026-08-03", periods=12, freq="7D")


def sent(counts: Sequence[int], weeks: pd.DatetimeIndex = WEEKS) -> pd.DataFrame:
    """So many parcels in C-48 in each week, and some others."""
    known = {"item_type": "tripod", "today_code": "C-48"}
    mine = [{**known, "shipped_week": week, "parcel_count": count} for week, count in zip(weeks, counts, strict=False)]
    others = [{**row, "today_code": "C-50", "parcel_count": 100} for row in mine]
    rows = pd.DataFrame([*mine, *others])
    return rows.assign(shipped_month=rows["shipped_week"].dt.to_period("M").dt.to_timestamp())


def saved(cents: dict[int, int]) -> pd.DataFrame:
    """What the change saves in the weeks of these numbers."""
    rows = pd.DataFrame([{**CHANGE, "shipped_week": WEEKS[at], "saving_cents": each} for at, each in cents.items()])
    return rows.assign(shipped_month=rows["shipped_week"].dt.to_period("M").dt.to_timestamp())


def held(cents: dict[int, int], counts: Sequence[int] = (5,) * 12, months: int = 3) -> dict[str, Any]:
    (row,) = as_dicts(changes_held_out(saved(cents), sent(counts), months))
    return row


def test_what_saves_in_every_week_is_advised_with_its_interval() -> None:
    cents = {at: 1_000 + 100 * at for at in range(12)}
    row = held(cents)
    each = bootstrap_saving(list(cents), [total / 5 for total in cents.values()], [5] * 12, level=0.8)
    assert row["is_advised"] and (row["carton_code"], row["best_carton_code"]) == ("C-48", "C-46")
    assert (row["held_out_parcel_count"], row["week_count"], row["saving_per_parcel_cents"]) == (60, 12, 310)
    assert (row["saving_likely_low_cents"], row["saving_likely_high_cents"]) == (round(each.low), round(each.high))


@pytest.mark.parametrize("weeks", [(3,), (3, 4)])
def test_what_saves_in_a_week_or_two_of_a_dozen_is_no_habit(weeks: tuple[int, ...]) -> None:
    """By hand: a draw of 12 weeks misses two of them with (10 / 12) ^ 12 = .112, which is more than a tenth."""
    row = held(dict.fromkeys(weeks, 60000))
    assert not row["is_advised"] and row["saving_likely_low_cents"] == 0 < row["saving_per_parcel_cents"]


def test_three_weeks_of_a_dozen_are_one() -> None:
    """By hand: (9 / 12) ^ 12 = .032."""
    assert held(dict.fromkeys((3, 4, 9), 60_000))["is_advised"]


def test_weeks_in_which_nothing_went_in_the_carton_say_nothing() -> None:
    every = [5 if at in (3, 5, 7, 9) else 0 for at in range(12)]
    assert held(dict.fromkeys((3, 5, 7, 9), 500), every)["is_advised"]
    few = held(dict.fromkeys((3, 5, 7), 500), [5 if at in (3, 5, 7) else 0 for at in range(12)])
    assert (few["week_count"], few["saving_likely_low_cents"], few["is_advised"]) == (3, 100, False)


def test_what_saved_before_the_months_held_out_alone_is_not_advised() -> None:
    row = held({0: 500, 1: 500, 2: 500, 3: 500, 4: 500}, months=1)
    assert (row["week_count"], row["saving_per_parcel_cents"], row["is_advised"]) == (3, 0, False)
    gone = held({0: 500}, [5, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0], months=1)
    assert (gone["held_out_parcel_count"], gone["saving_per_parcel_cents"], gone["is_advised"]) == (0, None, False)
