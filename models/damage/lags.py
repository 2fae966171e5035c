"""How late claims are reported, and how many parcels are really at risk.

A parcel shipped last week has hardly had time to be claimed. The reporting-lag distribution is estimated from
the claims seen so far by the product limit in reverse time: a claim of lag `t` is compared only with claims of
parcels old enough to have shown that lag (S. W. Lagakos, L. M. Barraj, V. De Gruttola, "Nonparametric analysis of
truncated survival data, with application to AIDS", Biometrika 75 (1988), 515-523). A parcel of age `a` then counts
as F(a) of a parcel, so that claims / exposure does not understate the latest months.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.signal import fftconvolve

from models.columns.damage import CURVES
from models.damage.arrays import Dates, FloatArray, IntArray, days
from models.errors import SettingsError

WINDOW_DAYS = 120
LEAST_CLAIMS = 20
# The default curve weighs as much as two claims: nothing beside a shop's own record, but it keeps the curve from
# falling to zero at a lag where every claim so far happens to lie.
DEFAULT_CLAIMS = 2.0
# Uniform over the window: common practice, no source.
MEASURED, DEFAULT = CURVES


@dataclass(frozen=True)
class LagCurve:
    """Share of claims reported within each age.

    cumulative, standard_error: shape (window_days + 1,), by age in whole days from 0; the last share is 1.
    claims: claims the curve rests on. late_claims: claims past the window, left out. impossible_claims: claims
    opened before shipping or after `as_of`, left out. is_default: too few claims, so the default curve alone.
    """

    window_days: int
    cumulative: FloatArray
    standard_error: FloatArray
    claims: int
    late_claims: int
    impossible_claims: int
    is_default: bool

    @property
    def source(self) -> str:
        """Where the curve comes from: one of CURVES."""
        return DEFAULT if self.is_default else MEASURED

    def share_reported(self, age_days: IntArray) -> FloatArray:
        """Share of claims reported by each age in days; nothing before shipping, everything past the window."""
        table = np.concatenate([[0.0], self.cumulative])
        return table.take(np.asarray(age_days, dtype=np.int64) + 1, mode="clip")


def reporting_lags(
    shipped_on: Dates,
    opened_on: Dates,
    as_of: object,
    *,
    window_days: int = WINDOW_DAYS,
    min_claims: int = LEAST_CLAIMS,
) -> LagCurve:
    """The reporting-lag curve from claims: shipping day and day of report of each, as known on the day `as_of`.

    Lags past `window_days` are left out and counted; shares are of the claims within the window. With fewer than
    `min_claims` claims the default curve is used alone and the result says so. Where the record is shorter than
    the window, the default curve fills the ages that nobody has seen yet.
    Raises SettingsError for a window of less than one day.
    """
    if window_days < 1:
        raise SettingsError(
            "claim window", f"{window_days} days", "every damage rate", "state a window of at least one day"
        )
    shipped, opened, today = days(shipped_on), days(opened_on), days([as_of])[0]
    known = ~(np.isnat(shipped) | np.isnat(opened))
    lags = (opened[known] - shipped[known]).astype(np.int64)
    ages = (today - shipped[known]).astype(np.int64)
    possible = (lags >= 0) & (lags <= ages)
    used = possible & (lags <= window_days)
    is_default = int(used.sum()) < min_claims
    reports, at_risk = _risk_sets(lags[used], ages[used], window_days)
    share, deviation = _blended(reports * (not is_default), at_risk * (not is_default))
    return LagCurve(
        window_days,
        share,
        deviation,
        claims=int(used.sum()),
        late_claims=int((possible & ~used).sum()),
        impossible_claims=int((~possible).sum()),
        is_default=is_default,
    )


def _risk_sets(lags: IntArray, ages: IntArray, window_days: int) -> tuple[FloatArray, FloatArray]:
    """Claims reported at each lag, and claims of at most that lag whose parcels are at least that old."""
    size = window_days + 2
    reports = np.bincount(lags, minlength=size)
    enter = np.cumsum(reports)
    leave = np.cumsum(np.bincount(np.minimum(ages, window_days) + 1, minlength=size))
    return reports[:-1].astype(float), (enter - leave)[:-1].astype(float)


def _blended(reports: FloatArray, at_risk: FloatArray) -> tuple[FloatArray, FloatArray]:
    default_share = np.full(reports.size, 1.0 / reports.size)
    return reverse_product_limit(
        reports + DEFAULT_CLAIMS * default_share, at_risk + DEFAULT_CLAIMS * np.cumsum(default_share)
    )


def reverse_product_limit(reports: FloatArray, at_risk: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Cumulative share by lag and its standard error, from reports and risk sets by lag.

    F(t) is the product over s > t of 1 - reports(s) / at_risk(s); the variance is Greenwood's, in reverse time.
    Lags with an empty risk set change nothing. Shapes (lags,) in and out.
    """
    seen = at_risk > 0
    rest = np.where(seen, at_risk - reports, 1.0)
    hazard = np.divide(reports, at_risk, out=np.zeros_like(reports), where=seen)
    term = np.divide(hazard, rest, out=np.zeros_like(reports), where=rest > 0)
    share = _after(np.asarray(np.cumprod((1.0 - hazard)[::-1]), dtype=float)[::-1], 1.0)
    relative_variance = _after(np.asarray(np.cumsum(term[::-1]), dtype=float)[::-1], 0.0)
    return share, share * np.sqrt(relative_variance)


def _after(suffixes: FloatArray, at_the_end: float) -> FloatArray:
    return np.append(suffixes[1:], at_the_end)


def expected_reports(expected_claims: FloatArray, curve: LagCurve) -> FloatArray:
    """Claims to be expected on each day of report, from the claims that each day's parcels will have in the end.

    expected_claims: parcels shipped times their damage rate, one value per consecutive day, shape (days,); same shape
    out. What is reported after the last day is left out.
    """
    by_lag = np.diff(np.concatenate([[0.0], curve.cumulative]))
    return np.asarray(fftconvolve(expected_claims, by_lag)[: expected_claims.size].clip(0.0))
