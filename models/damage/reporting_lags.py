"""How late claims are reported, and how many parcels are really at risk.

A parcel shipped last week has hardly had time to be claimed. The delay follows a law whose scale may drift
(models/damage/delay_laws.py); what claims show beside every law is found by the product limit in reverse time: a claim
of lag `t` is compared only with claims of parcels old enough to have shown that lag (S. W. Lagakos, L. M. Barraj, V. De
Gruttola, "Nonparametric analysis of truncated survival data, with application to AIDS", Biometrika 75 (1988), 515-523).
A parcel of age `a` then counts as the share of claims reported by that age, so that claims / exposure does not
understate the latest months. Nothing is said of ages that no parcel has reached: claims count up to `window_days`.
"""

from dataclasses import dataclass

import numpy as np
from scipy.signal import fftconvolve
from scipy.special import expit, logit

from models.columns.damage import CURVES
from models.damage.arrays import Dates, FloatArray, IntArray, days
from models.damage.delay_laws import Record, delays_of, paths, recorded
from models.errors import SettingsError

WINDOW_DAYS = 120
LEAST_CLAIMS = 20
# The law counts as much as so many claims against what claims show beside it. Steps of its share that are told apart.
LAW_CLAIMS, STEPS = 40.0, 40
# Draws of what the curve may be: the same in every build.
DRAWS, SEED = 64, 20_261
# A record of claims that ends when the others do.
WHOLE: IntArray = np.zeros(1, dtype=np.int64)
# A drift is taken as real where chance alone shows as much in fewer cases than these.
LEVEL = 0.05
MEASURED, DEFAULT = CURVES


@dataclass(frozen=True)
class LagCurve:
    """Share of claims reported within each age.

    cumulative, standard_error: of the newest parcels, shape (window_days + 1,), by age in whole days from 0; the last
    share is 1. by_age: draws of the share on record of parcels that have now reached each age, shape (draws, ages),
    from 0 and at least to the window; where the delays drift, older parcels have other shares than the newest.
    claims: claims the curve is based on. late_claims: claims past the window, left out. impossible_claims: claims
    opened before shipping or after `as_of`, left out. is_default: too few claims to tell without what is usual.
    drift_p: chance of so much drift, did nothing drift.
    """

    window_days: int
    cumulative: FloatArray
    standard_error: FloatArray
    by_age: FloatArray
    claims: int
    late_claims: int
    impossible_claims: int
    is_default: bool
    drift_p: float

    @property
    def source(self) -> str:
        """Where the curve comes from: one of CURVES."""
        return DEFAULT if self.is_default else MEASURED

    @property
    def is_drifting(self) -> bool:
        """Whether the record proves that delays drift."""
        return self.drift_p < LEVEL and not self.is_default

    def share_reported(self, age_days: IntArray) -> FloatArray:
        """Share of claims reported, of parcels of each age in days; nothing before shipping, all past the window."""
        return _by_age(self.by_age.mean(axis=0), age_days)

    def shares_drawn(self, age_days: IntArray, count: int) -> list[FloatArray]:
        """The same share as it may be: `count` of the draws, each as likely."""
        return [_by_age(curve, age_days) for curve in self.by_age[:count]]


def _by_age(shares: FloatArray, age_days: IntArray) -> FloatArray:
    table = np.concatenate([[0.0], shares, [1.0]])
    return table.take(np.asarray(age_days, dtype=np.int64) + 1, mode="clip")


def reporting_lags(
    shipped_on: Dates,
    opened_on: Dates,
    as_of: object,
    *,
    window_days: int = WINDOW_DAYS,
    min_claims: int = LEAST_CLAIMS,
    short_days: IntArray = WHOLE,
) -> LagCurve:
    """The reporting-lag curve from claims: shipping day and day of report of each, as known on the day `as_of`.

    Lags past `window_days` are left out and counted; shares are of the claims within the window. With fewer than
    `min_claims` claims what is usual of delays tells more than they do, and the result says so. short_days: days by
    which the record of claims may end before `as_of`, each as likely (models/damage/claims_end.py).
    Raises SettingsError for a window of less than one day.
    """
    if window_days < 1:
        raise SettingsError(
            "claim window", f"{window_days} days", "every damage rate", "state a window of at least one day"
        )
    shipped, opened, today = days(shipped_on), days(opened_on), days([as_of])[0]
    known = ~(np.isnat(shipped) | np.isnat(opened))
    lags = (opened[known] - shipped[known]).astype(np.int64)
    ages = (today - shipped[known]).astype(np.int64) - int(np.sort(short_days)[short_days.size // 2])
    possible = (lags >= 0) & (lags <= ages)
    used = possible & (lags <= window_days)
    newest, by_age, drift_p = _drawn(recorded(lags[used], ages[used], window_days))
    return LagCurve(
        window_days,
        newest.mean(axis=0),
        newest.std(axis=0),
        _ended(by_age, short_days),
        claims=int(used.sum()),
        late_claims=int((possible & ~used).sum()),
        impossible_claims=int((~possible).sum()),
        is_default=int(used.sum()) < min_claims,
        drift_p=drift_p,
    )


def _ended(by_age: FloatArray, short_days: IntArray) -> FloatArray:
    """The draws by the age that parcels have now, where the record of claims ended so many days ago."""
    if not short_days.any():
        return by_age
    at = np.arange(by_age.shape[1] + int(short_days.max())) - np.resize(short_days, by_age.shape[0])[:, None]
    table = np.pad(by_age, ((0, 0), (1, 1)), constant_values=((0, 0), (0.0, 1.0)))
    return np.take_along_axis(table, (at + 1).clip(0, table.shape[1] - 1), axis=1)


def _drawn(record: Record) -> tuple[FloatArray, FloatArray, float]:
    """Draws of the newest parcels' curve and of the share by present age, and the chance of so much drift."""
    rng, found = np.random.default_rng(SEED), delays_of(record)
    drawn, ages = found.drawn(rng, DRAWS), np.arange(record.window + 1.0)
    newest = paths([(law, path[:1]) for law, path in drawn], ages, record.window)
    by_age = paths(drawn, ages, record.window)
    for at, (law, path) in enumerate(drawn):
        beside = _beside(
            record, np.array([paths([(law, scale)], ages, record.window)[0] for scale in path[1:, None]]), rng
        )
        newest[at], by_age[at] = (np.interp(each, *beside) for each in (newest[at], by_age[at]))
    return newest, by_age, found.drift_p


def _beside(record: Record, shares: FloatArray, rng: np.random.Generator) -> tuple[FloatArray, FloatArray]:
    """What claims show beside a law: points of its share, and the share reported there, as it may be.

    shares: the law's, shape (blocks, ages). With claims at the same share of the law put together, delays of all blocks
    are alike; the product limit over them is the law where LAW_CLAIMS say more than claims do.
    """
    step = np.minimum((shares * STEPS).astype(np.int64), STEPS - 1).ravel()
    reports, ages = (np.bincount(step, each.ravel(), minlength=STEPS) for each in (record.lags, record.ages))
    at_risk = np.cumsum(reports) - np.append(0.0, np.cumsum(ages)[:-1])
    law = np.full(STEPS, LAW_CLAIMS / STEPS)
    share, deviation = reverse_product_limit(reports + law, at_risk + np.cumsum(law))
    inside = share.clip(1e-6, 1.0 - 1e-6)
    apart = rng.standard_normal() * deviation / (inside * (1.0 - inside))
    drawn = np.where(share < 1.0, expit(logit(inside) + apart), 1.0)
    return np.linspace(0.0, 1.0, STEPS + 1), np.maximum.accumulate(np.append(0.0, drawn))


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
