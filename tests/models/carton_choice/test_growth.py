"""Growth of item types against the same months a year before: given rows, expected rows, and reference libraries."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy.stats import binomtest

from models.carton_choice.growth import compared_months, growth_table, ratio_limits, ratios
from tests.damage_shops import only


def sent(first_on: str, weekly: dict[str, list[int]]) -> pd.DataFrame:
    """Usages: parcels of each item type in each week from a Monday on."""
    weeks = pd.date_range(first_on, periods=max(map(len, weekly.values())), freq="7D")
    rows = [
        (item, week, week.to_period("M").to_timestamp(), parcels)
        for item, counts in weekly.items()
        for week, parcels in zip(weeks, counts, strict=False)
        if parcels
    ]
    return pd.DataFrame(rows, columns=["item_type", "shipped_week", "shipped_month", "parcel_count"])


@pytest.mark.published
@pytest.mark.parametrize(("now", "before"), [(3, 1), (40, 40), (90, 60), (12, 0), (0, 12), (260, 86)])
def test_limits_are_those_of_the_exact_binomial_interval(now: int, before: int) -> None:
    """Source: the exact interval of a proportion of SciPy 1 (`binomtest(...).proportion_ci(method="exact")`)."""
    exact = binomtest(now, now + before).proportion_ci(0.95, method="exact")
    low, high = ratio_limits(now, before, 0.95)
    assert low == pytest.approx(exact.low / (1 - exact.low), rel=1e-6)
    assert high == (pytest.approx(exact.high / (1 - exact.high), rel=1e-6) if before else float("inf"))


def test_an_item_type_that_doubled_is_told_and_one_that_did_not_is_not() -> None:
    steady, doubled = [6, 7, 5, 6] * 26, [6, 7, 5, 6] * 13 + [12, 13, 11, 12] * 13
    found = growth_table(sent("2024-01-01", {"tripod": doubled, "mount": steady}))
    grown, same = (only(found, item_type=item) for item in ("tripod", "mount"))
    assert grown["compared_month_count"] == 11 and grown["growth_ratio"] == pytest.approx(2, rel=0.1)
    assert grown["growth_low"] < grown["growth_ratio"] < grown["growth_high"]
    assert grown["is_growth_proved"] and not same["is_growth_proved"]
    assert ratios(found) == {"tripod": grown["growth_ratio"]}


def test_orders_that_come_in_lots_prove_less_than_as_many_single_ones() -> None:
    """The same counts: every week eight and then fourteen, or all of a quarter in one week."""
    even = growth_table(sent("2024-01-01", {"tripod": [8] * 52 + [11] * 52}))
    lots = growth_table(sent("2024-01-01", {"tripod": ([104] + [0] * 12) * 4 + ([143] + [0] * 12) * 4}))
    assert only(even, item_type="tripod")["is_growth_proved"]
    assert not only(lots, item_type="tripod")["is_growth_proved"]


def test_of_many_item_types_that_stay_alike_hardly_any_is_called_growing() -> None:
    """Sixty shops of ten item types without growth: of all together one in twenty may be wrong."""
    chance = np.random.default_rng(4)
    wrong = 0
    for _ in range(60):
        found = growth_table(sent("2024-01-01", {f"i{n}": chance.poisson(3, 104).tolist() for n in range(10)}))
        wrong += bool(found["is_growth_proved"].any())
    assert wrong <= 7  # of a binomial of 60 and 0.05 one in a hundred is above


def test_goods_that_are_new_have_no_ratio_and_goods_that_are_gone_have_nothing() -> None:
    found = growth_table(sent("2024-01-01", {"new": [0] * 60 + [5] * 44, "gone": [5] * 50}))
    new, gone = (only(found, item_type=item) for item in ("new", "gone"))
    assert pd.isna(new["growth_ratio"]) and pd.isna(new["growth_high"]) and not new["is_growth_proved"]
    assert (gone["growth_ratio"], gone["growth_low"], gone["is_growth_proved"]) == (0, 0, True)


def test_parcels_of_unknown_goods_may_have_been_of_any_item_type() -> None:
    """Half of the first year's parcels name no goods: the tripods that seem to have doubled may be those."""
    doubled = [6, 7, 5, 6] * 13 + [12, 13, 11, 12] * 13
    unnamed = {"tripod": doubled, "unknown": [6] * 52 + [0] * 52}
    found = growth_table(sent("2024-01-01", unnamed))
    assert found["item_type"].tolist() == ["tripod"] and found["growth_low"][0] < 1
    assert not found["is_growth_proved"].any()
    few = growth_table(sent("2024-01-01", {"tripod": doubled, "unknown": [1] * 52 + [0] * 52}))
    assert few["is_growth_proved"].all()


def test_only_whole_months_with_the_same_a_year_before_are_compared() -> None:
    def months(first_on: str, weeks: int) -> list[str]:
        found = compared_months(sent(first_on, {"tripod": [1] * weeks}))
        return [str(month.date()) for month in found]

    # From 1 January 2024; the week of 24 February 2025 reaches to 2 March, that of 17 February not to the 28th.
    assert months("2024-01-01", 61) == ["2025-01-01", "2025-02-01"]
    assert months("2024-01-01", 60) == []
    # A record that begins within a month has no whole first month.
    assert months("2024-01-08", 65) == ["2025-02-01", "2025-03-01"]
    assert len(months("2023-01-02", 140)) == 12
    assert compared_months(sent("2024-01-01", {"tripod": [0]})) == []


def test_a_record_of_a_year_shows_no_growth() -> None:
    assert growth_table(sent("2024-01-01", {"tripod": [5] * 52})).empty
