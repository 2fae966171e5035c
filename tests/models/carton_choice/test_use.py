"""What will be used: given days, expected use."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from models.carton_choice.order_words import RECENT, SEASON
from models.carton_choice.reserve import reorder_level
from models.carton_choice.use import YEAR_DAYS, Use, use_of
from tests.sampling import tries

FIRST = pd.Timestamp("2025-01-01")


def days(length: int, each: dict[str, float | list[int]]) -> pd.DataFrame:
    """marts.carton_days: each carton's parcels a day, one number for all days or one for each."""
    rows = [
        (FIRST + pd.Timedelta(days=day), code, count[day] if isinstance(count, list) else count)
        for code, count in each.items()
        for day in range(length)
    ]
    found = pd.DataFrame(rows, columns=["shipped_on", "carton_code", "parcel_count"])
    return found[found["parcel_count"] > 0]


def test_a_short_record_goes_on_as_it_was() -> None:
    use = use_of(days(60, {"A": 2, "B": 1}))
    assert use.is_known and use.basis == RECENT
    assert use.expected("A", 10).sum() == pytest.approx(20) and use.expected("C", 10).sum() == 0


def test_a_few_weeks_say_nothing() -> None:
    use = use_of(days(27, {"A": 2}))
    assert not use.is_known and use.expected("A", 10).sum() == 0
    assert not use_of(days(0, {"A": 1})).is_known


def test_the_recent_level_is_led_on_by_last_years_season() -> None:
    """All parcels were three times as many in the half year that follows the same weeks of the year before."""
    length = 91 + YEAR_DAYS
    before = [3 if day >= 91 + 40 and day < 91 + 240 else 1 for day in range(length)]
    total = [2 * each for each in before]
    use = use_of(days(length, {"A": before, "B": before}))
    assert use.basis == SEASON
    now = np.array(total[-91:]).mean()
    # Far from the edges of the season, where the days around are all alike.
    assert use.season(200)[80] == pytest.approx(6 / 2) and use.season(20)[5] == pytest.approx(1)
    assert use.expected("A", 200)[80] == pytest.approx(now / 2 * 3)


def test_a_new_carton_follows_the_season_of_the_shop() -> None:
    """It was not stocked a year ago; that says nothing of its use."""
    length = 91 + YEAR_DAYS
    new = [0] * (length - 91) + [2] * 91
    old = [4 if day < length - 91 else 2 for day in range(length)]
    use = use_of(days(length, {"new": new, "old": old}))
    assert use.expected("new", 30).sum() == pytest.approx(60) and use.season(30) == pytest.approx(np.ones(30))


def test_a_carton_that_came_into_use_lately_is_measured_since() -> None:
    """One carton took the place of another 50 days ago: two a day of it are used, and none of the other."""
    length = 426
    renamed: dict[str, float | list[int]] = {
        "old": [2] * (length - 50) + [0] * 50,
        "new": [0] * (length - 50) + [2] * 50,
    }
    use = use_of(days(length, renamed))
    assert use.expected("new", 30).sum() == pytest.approx(60)
    assert use.dispersion("new", 50) == 2.0
    assert use.is_silent("old") and not use.is_silent("new") and not use.is_silent("never")
    assert use.last_used_on("old") == FIRST + pd.Timedelta(days=length - 51) and use.last_used_on("never") is None


def test_a_renamed_carton_follows_the_season_against_the_days_since() -> None:
    """A year ago the shop sent twice as many in the last 50 days of the same weeks as after them."""
    length = 91 + YEAR_DAYS
    total = [2] * 41 + [4] * 50 + [2] * (YEAR_DAYS - 50) + [4] * 50
    use = use_of(days(length, {"new": [0] * (length - 50) + [4] * 50, "old": [*total[:-50], *[0] * 50]}))
    assert use.basis == SEASON
    assert use.season(60, 50)[40] == pytest.approx(0.5) and use.expected("new", 60)[40] == pytest.approx(2)


def test_what_is_seldom_used_is_neither_new_nor_silent() -> None:
    """Four parcels in 200 days: a pause of 50 days is chance, and so is a late first one."""
    rare = [1 if day in (60, 100, 130, 150) else 0 for day in range(200)]
    use = use_of(days(200, {"A": rare, "B": 1}))
    assert not use.is_silent("A") and use.expected("A", 91).sum() == pytest.approx(2)
    # A single one on the last day is no level of one a day.
    late = use_of(days(200, {"A": [0] * 199 + [1], "B": 1}))
    assert late.expected("A", 91).sum() == pytest.approx(1)


def test_too_few_parcels_of_a_year_ago_show_no_season() -> None:
    length = 91 + YEAR_DAYS
    rare = [1 if day % 7 == 0 else 0 for day in range(length - 91)] + [3] * 91
    assert use_of(days(length, {"A": rare})).basis == RECENT


def test_parcels_without_a_carton_count_for_the_season_and_no_day_beyond_the_record() -> None:
    known = days(60, {"A": 2, "unknown": 1})
    later = pd.DataFrame(
        {"shipped_on": [FIRST + pd.Timedelta(days=90)], "carton_code": ["unknown"], "parcel_count": [5]}
    )
    use = use_of(pd.concat([known, later]))
    assert use.last_on == FIRST + pd.Timedelta(days=59)
    assert len(use.total) == 60 and use.total.sum() == 180


def test_variation_is_that_of_whole_weeks_and_of_the_level_and_never_below_poisson() -> None:
    """Over 35 days the level of 70 is uncertain by half of what the use itself varies."""
    steady = use_of(days(70, {"A": 2}))
    assert (steady.dispersion("A", 0), steady.dispersion("A", 35), steady.dispersion("none", 35)) == (1.0, 1.5, 1.5)
    # Weeks of 0 and of 14 pieces in turn: mean 7, variance 49 x 10 / 9.
    turns = [2 * (day // 7 % 2) for day in range(70)]
    uneven = use_of(days(70, {"A": turns, "B": 1}))
    assert uneven.dispersion("A", 0) == pytest.approx(49 * 10 / 9 / 7)
    assert use_of(days(55, {"A": turns, "B": 1})).dispersion("A", 0) == 1.0  # seven weeks show nothing


def test_what_was_drawn_of_one_steady_use_lasts_as_often_as_was_asked_for() -> None:
    """Rates drawn anew: 13 weeks of each are looked at, and the 12 days after them must be covered in 95 of 100."""
    chance = np.random.default_rng(11)
    covered = []
    for rate in chance.uniform(0.2, 4.0, tries(1_500, fewest=400)):
        use = use_of(days(91, {"A": chance.poisson(rate, 91).tolist(), "B": 1}))
        level = reorder_level(float(use.expected("A", 12).sum()), use.dispersion("A", 12), 0.95)
        covered.append(chance.poisson(12 * rate) <= level)
    assert 0.94 < np.mean(covered) < 0.985


def test_a_span_of_the_record_is_the_measure() -> None:
    grown = [1] * 100 + [2] * 100
    use: Use = use_of(days(200, {"A": grown}))
    span = FIRST, FIRST + pd.Timedelta(days=99)
    assert use.against(*span, 10) == pytest.approx(np.full(10, 2.0))
    assert use.against(FIRST - pd.Timedelta(days=99), FIRST - pd.Timedelta(days=9), 3) == pytest.approx(np.ones(3))
