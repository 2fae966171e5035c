"""Sides learned from bills, by given rows."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd
import pytest
from scipy.stats import binom

from models.analyses.billing import learned_sides, median_interval
from models.analyses.question import Question


def bulges(*rows: tuple[str, float, int]) -> Question:
    frame = pd.DataFrame(rows, columns=["carton_code", "bulge_in", "parcel_count"])
    frame = frame.assign(cut_height_in=np.nan, side="longest side", named_in=48.0)
    return Question({"marts.carton_bulges": frame}, dt.date(2026, 10, 31))


def test_the_median_counts_parcels_not_rows() -> None:
    found = learned_sides(bulges(("C-48", 0.0, 3), ("C-48", 1.0, 7), ("C-50", 0.0, 4)))["analysis.learned_sides"]
    assert list(found["carton_code"]) == ["C-48"]
    assert found["bulge_in"].tolist() == [1.0]
    assert found["usual_in"].tolist() == [49.0]
    assert found["parcel_count"].tolist() == [10]


@pytest.mark.parametrize("count", [6, 7, 10, 25, 100, 501])
def test_the_interval_is_the_narrowest_pair_of_ranks_that_keeps_its_level(count: int) -> None:
    low, high = median_interval(np.arange(1.0, count + 1))
    assert low + high == count + 1
    chance = 1 - 2 * binom.cdf(low - 1, count, 0.5)
    narrower = 1 - 2 * binom.cdf(low, count, 0.5)
    assert chance >= 0.95 > narrower


def test_five_values_are_too_few_for_an_interval() -> None:
    assert np.isnan(median_interval(np.arange(5.0))).all()
