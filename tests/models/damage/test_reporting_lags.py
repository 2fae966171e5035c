"""Reporting lags under right truncation, and the exposure they correct."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.duration.survfunc import SurvfuncRight

from models.damage.arrays import FloatArray, IntArray, days
from models.damage.reporting_lags import LagCurve, expected_reports, reporting_lags, reverse_product_limit
from models.errors import SettingsError
from tests.models.damage.published import MACK_FACTORS, taylor_ashe

TODAY = np.datetime64("2026-11-30")


def claims_of(parcels: int, window: int, seed: int) -> tuple[IntArray, IntArray]:
    """Ages of claimed parcels and lags of their claims, as seen today: lags up to `window`, geometric-like."""
    rng = np.random.default_rng(seed)
    ages, lags = rng.integers(0, 2 * window, parcels), rng.geometric(0.08, parcels) - 1
    seen = (lags <= ages) & (lags <= window)
    return ages[seen], lags[seen]


def curve_of(ages: IntArray, lags: IntArray, window: int, **more: Any) -> LagCurve:
    return reporting_lags(TODAY - ages, TODAY - ages + lags, TODAY, window_days=window, **more)


def test_a_record_of_claims_that_ended_early_shows_what_was_due_then() -> None:
    """All claims come within a week, and ten days are missing: of parcels of twelve days two days' claims are known."""
    ages = np.repeat(np.arange(10, 200), 8)
    lags = np.tile(np.arange(8), 190)
    seen = lags <= ages - 10
    curve = curve_of(ages[seen], lags[seen], 60, short_days=np.array([10]))
    whole = curve_of(ages[seen] - 10, lags[seen], 60)
    asked = np.array([0, 9, 10, 12, 17, 80])
    assert curve.share_reported(asked) == pytest.approx(whole.share_reported(asked - 10))
    assert curve.share_reported(asked)[[0, 1]].tolist() == [0.0, 0.0]
    assert curve.share_reported(asked)[-1] == 1.0


def known_curve(*shares: float) -> LagCurve:
    """A curve that is known for sure."""
    share = np.array(shares)
    return LagCurve(share.size - 1, share, np.zeros(share.size), share[None], 50, 0, 0, is_default=False, drift_p=1.0)


def test_the_product_limit_agrees_with_a_survival_library_in_reverse_time() -> None:
    """Right truncation of T at R is left truncation of W - T at W - R: statsmodels SurvfuncRight with entry times."""
    window, ages, lags = 60, *claims_of(800, 60, seed=3)
    reports = np.bincount(lags, minlength=window + 1).astype(float)
    at_risk = np.array([np.sum((lags <= day) & (ages >= day)) for day in range(window + 1)], dtype=float)
    share, error = reverse_product_limit(reports, at_risk)
    # Entry lies half a day early, so that a parcel as old as its own lag is at risk there.
    library = SurvfuncRight(window - lags + 1.0, np.ones(lags.size), entry=np.maximum(window - ages, 0) + 0.5)
    for time, chance, deviation in zip(library.surv_times, library.surv_prob, library.surv_prob_se, strict=True):
        day = window - int(time - 1.0)
        if day > 0:
            assert share[day - 1] == pytest.approx(chance, abs=1e-12)
            assert error[day - 1] == pytest.approx(deviation, abs=1e-12)


@pytest.mark.published
def test_the_product_limit_on_a_triangle_is_the_chain_ladder() -> None:
    """T. Mack, ASTIN Bulletin 23 (1993), 213-225: development factors of the Taylor-Ashe triangle, four decimals.

    The reverse-time hazard at delay k + 1 is 1 - 1 / factor(k).
    """
    triangle = taylor_ashe()
    amounts = np.diff(triangle, axis=1, prepend=0.0)
    reports, at_risk = np.nansum(amounts, axis=0), np.nansum(triangle, axis=0)
    share, _ = reverse_product_limit(reports, at_risk)
    np.testing.assert_allclose(share[1:] / share[:-1], MACK_FACTORS, atol=5e-5)


@pytest.mark.from_memory
def test_the_product_limit_run_backwards_is_kaplan_and_meiers() -> None:
    """E. J. Freireich et al., Blood 21 (1963), 6-MP arm, 21 patients (data and publication recalled from memory):
    survival 0.8571 at 6 weeks, 0.8067 at 7, 0.7529 at 10, 0.6902 at 13, 0.6275 at 16, 0.5378 at 22, 0.4482 at 23."""
    relapses, censored = (6, 6, 6, 7, 10, 13, 16, 22, 23), (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35)
    deaths = np.bincount(relapses, minlength=36).astype(float)
    everyone = np.bincount(relapses + censored, minlength=36)
    alive = np.cumsum(everyone[::-1])[::-1].astype(float)
    # What lies after a lag in reverse time lies before it in time: position 35 - week is survival past the week before.
    share, _ = reverse_product_limit(deaths[::-1], alive[::-1])
    weeks = np.array([6, 7, 10, 13, 16, 22, 23])
    expected = [0.8571, 0.8067, 0.7529, 0.6902, 0.6275, 0.5378, 0.4482]
    np.testing.assert_allclose(share[35 - weeks - 1], expected, atol=5e-5)


def test_the_curve_is_right_where_the_plain_share_is_too_early() -> None:
    """Known law: lags uniform over 0..39, parcels shipped evenly over the last 40 days only."""
    rng = np.random.default_rng(11)
    ages, lags = rng.integers(0, 40, 40_000), rng.integers(0, 40, 40_000)
    seen = lags <= ages
    curve = curve_of(ages[seen], lags[seen], 39)
    np.testing.assert_allclose(curve.cumulative, np.arange(1, 41) / 40, atol=0.04)
    plain = np.mean(lags[seen] <= 10)
    assert plain > 0.42 > curve.cumulative[10]


def test_too_few_claims_leave_what_is_usual_and_say_so() -> None:
    """Of two claims nothing follows: half the claims come within ten days, or three, or thirty."""
    curve = curve_of(np.array([300, 400]), np.array([3, 5]), 119)
    assert curve.is_default
    assert curve.source == "usual delays"
    low, high = np.quantile(curve.by_age[:, 9], [0.1, 0.9])
    assert high - low > 0.4
    assert 0.4 < curve.cumulative[9] < 0.9


def test_no_claims_at_all_give_the_default_curve() -> None:
    curve = reporting_lags([], [], TODAY)
    assert (curve.is_default, curve.claims) == (True, 0)
    assert np.all(np.isfinite(curve.standard_error))


def test_impossible_and_late_claims_are_counted_and_left_out() -> None:
    shipped = np.array(["2026-11-01", "2026-11-10", "2026-01-01", "NaT", "2026-11-20"], dtype="datetime64[D]")
    opened = np.array(["2026-11-04", "2026-11-08", "2026-10-01", "2026-11-11", "2026-12-02"], dtype="datetime64[D]")
    curve = reporting_lags(shipped, opened, "2026-11-30", window_days=120)
    assert (curve.claims, curve.late_claims, curve.impossible_claims) == (1, 1, 2)


def test_ages_beyond_the_record_are_as_unsure_as_the_tail() -> None:
    """Parcels of twenty days and claims ever more often until then: what comes up to the 99th day is no guess of so
    much a day; by the best laws a tenth has been reported, or a twentieth, or a quarter."""
    ages, lags = np.full(100, 20), np.repeat(np.arange(5, 21, 3), [2, 6, 12, 20, 27, 33])
    curve = curve_of(ages, lags, 99)
    low, high = np.quantile(curve.by_age[:, 20], [0.05, 0.95])
    assert high > 3.0 * low
    assert curve.cumulative[-1] == 1.0


def test_delays_that_drift_are_reported_and_recent_claims_count_more() -> None:
    """Mean delays of a gamma law of shape two that grow from 10 to 45 days; the share by age from its formula."""
    rng = np.random.default_rng(2)
    ages = rng.integers(1, 420, 1_500)
    lags = np.floor(rng.gamma(2.0, (45.0 - ages / 12.0) / 2.0)).astype(np.int64)
    seen = (lags <= ages) & (lags <= 120)
    curve, steady = (curve_of(ages[seen], each[seen], 120) for each in (lags, rng.permutation(lags)))
    reach = (np.array([10, 20, 30, 45]) + 1.0) * 2.0 / (45.0 - np.array([10, 20, 30, 45]) / 12.0)
    truth = 1.0 - np.exp(-reach) * (1.0 + reach)
    assert curve.is_drifting and curve.drift_p < 1e-6
    np.testing.assert_allclose(curve.share_reported(np.array([10, 20, 30, 45])), truth, atol=0.1)
    assert not steady.is_drifting


def test_exposure_counts_each_parcel_by_its_age() -> None:
    curve = known_curve(0.25, 0.5, 0.75, 1.0)
    ages = np.array([0, 1, 3, 29, -2])
    np.testing.assert_allclose(curve.share_reported(ages), [0.25, 0.5, 1.0, 1.0, 0.0])


def test_adjusted_exposure_gives_back_the_true_rate_of_the_latest_parcels() -> None:
    rng = np.random.default_rng(5)
    ages, is_damaged = rng.integers(0, 400, 200_000), rng.random(200_000) < 0.02
    lags = rng.gamma(2.0, 9.0, 200_000).astype(np.int64)
    seen = is_damaged & (lags <= ages) & (lags <= 120)
    curve = curve_of(ages[seen], lags[seen], 120)
    fresh = ages < 30
    exposure = curve.share_reported(ages[fresh]).sum()
    assert seen[fresh].sum() / fresh.sum() < 0.012
    assert seen[fresh].sum() / exposure == pytest.approx(0.02, rel=0.1)


def test_expected_reports_come_with_the_lag() -> None:
    curve = known_curve(0.5, 0.8, 1.0)
    np.testing.assert_allclose(expected_reports(np.array([10.0, 0.0, 0.0, 2.0]), curve), [5, 3, 2, 1], atol=1e-9)


@pytest.mark.parametrize(
    "dates",
    [
        ["2026-11-01", None],
        [dt.date(2026, 11, 1), None],
        pd.Series([pd.Timestamp("2026-11-01 14:30"), pd.NaT]),
        pd.Series([dt.date(2026, 11, 1), float("nan")], dtype=object),
        np.array(["2026-11-01T14:30", "NaT"], dtype="datetime64[us]"),
    ],
    ids=["texts", "dates", "column", "objects", "instants"],
)
def test_days_come_from_any_kind_of_date(dates: object) -> None:
    np.testing.assert_array_equal(days(dates), np.array(["2026-11-01", "NaT"], dtype="datetime64[D]"))


def test_a_window_of_no_days_is_refused() -> None:
    with pytest.raises(SettingsError, match="claim window"):
        reporting_lags([], [], TODAY, window_days=0)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(
    st.lists(st.tuples(st.integers(0, 90), st.integers(-5, 90)), max_size=60), st.integers(1, 60), st.integers(0, 30)
)
def test_a_curve_always_rises_to_one(claims: list[tuple[int, int]], window: int, least: int) -> None:
    ages, lags = (np.array([claim[side] for claim in claims], dtype=np.int64) for side in (0, 1))
    curve = curve_of(ages, lags, window, min_claims=least)
    rising: FloatArray = np.diff(np.concatenate([[0.0], curve.cumulative]))
    assert np.all(rising >= -1e-12)
    assert curve.cumulative[-1] == 1.0
    assert curve.cumulative[0] > 0
    assert np.all((curve.by_age > 0) & (curve.by_age <= 1))
    assert curve.claims + curve.late_claims + curve.impossible_claims == len(claims)
