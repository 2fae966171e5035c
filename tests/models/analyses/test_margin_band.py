"""What is usual of a month: from the twelve months before it, never from the month itself."""

from __future__ import annotations

from datetime import date

import numpy as np
import pandas as pd
import pytest
from statsmodels.api import OLS

from models.analyses.margin_band import compute
from models.analyses.question import Question
from models.contracts import validated
from models.tables import TABLES

MONTHS = pd.date_range("2025-05-01", periods=18, freq="MS")
MARGINS = (150, -40, 210, 95, 130, -120, 260, 180, 75, 30, 145, 90, 20, -60, 110, 160, 240, -33)


def bands(margins: tuple[int, ...] = MARGINS, parcels: dict[int, int] | None = None) -> pd.DataFrame:
    counts = [(parcels or {}).get(at, 100) for at in range(len(margins))]
    months = pd.DataFrame({"shipped_month": MONTHS[: len(margins)], "parcel_count": counts})
    months["completed_per_parcel_cents"] = pd.array(margins, "Int64")
    found = compute(Question({"analysis.completed_months": months}, date(2026, 10, 31)))["analysis.margin_band"]
    return validated(found, TABLES["analysis.margin_band"], "the test").set_index("shipped_month")


# Seabold and Perktold, statsmodels: the interval of one more observation under a model of nothing but a mean.
def test_the_band_is_the_prediction_interval_of_the_twelve_months_before() -> None:
    found = bands()
    for at in range(12, 18):
        fit = OLS(np.array(MARGINS[at - 12 : at], float), np.ones(12)).fit()
        seen = fit.get_prediction(np.ones((1, 1))).summary_frame(alpha=0.2).iloc[0]
        row = found.iloc[at]
        assert row["usual_per_parcel_cents"] == pytest.approx(seen["mean"], abs=0.51)
        assert row["usual_low_cents"] == pytest.approx(seen["obs_ci_lower"], abs=0.51)
        assert row["usual_high_cents"] == pytest.approx(seen["obs_ci_upper"], abs=0.51)


def test_the_month_itself_moves_nothing_but_whether_it_is_unusual() -> None:
    plain, changed = bands(), bands((*MARGINS[:-1], 9_000))
    band = ["usual_per_parcel_cents", "usual_low_cents", "usual_high_cents"]
    assert plain[band].equals(changed[band])
    assert not plain["is_unusual"].iloc[-1]
    assert changed["is_unusual"].iloc[-1]


def test_without_twelve_months_before_nothing_is_usual() -> None:
    found = bands()
    assert found["usual_low_cents"].isna().tolist() == [True] * 12 + [False] * 6
    assert found["is_unusual"].isna().tolist() == [True] * 12 + [False] * 6


def test_a_month_without_parcels_is_not_one_of_the_twelve() -> None:
    found = bands(parcels={3: 0})
    assert MONTHS[3] not in found.index
    assert found["usual_low_cents"].isna().tolist() == [True] * 15 + [False] * 2


def test_months_alike_have_a_band_of_nothing() -> None:
    found = bands((50,) * 13)
    assert found[["usual_low_cents", "usual_high_cents"]].iloc[-1].tolist() == [50, 50]
    assert not found["is_unusual"].iloc[-1]
