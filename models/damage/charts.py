"""Control charts for shares (surcharged parcels) and for single values (cost per parcel by week).

A period is compared with what its own goods lead one to expect (models/damage/expected.py), so that neither a promotion
nor a season is an alarm. With `periods_between_false_alarms` the limits predict the period, what the baseline leaves
unknown included, so that a false alarm on either side comes about once in so many periods. Without it they are the
classical three-sigma limits of NIST/SEMATECH, e-Handbook of Statistical Methods, sections 6.3.2.2 and 6.3.3.2.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import betaln, gammaln
from scipy.stats import t as student

from models.damage.arrays import BoolArray, FloatArray
from models.damage.expected import Expected
from models.errors import SettingsError

DEVIATIONS = (
    40.0  # from the mean; by Chebyshev's inequality less than 1 in 1,600 lies beyond, far less than a tail asked for
)
SIGMAS = 3.0
RANGE_TO_SIGMA = 1.128  # mean range of two normal values over their standard deviation
# Mean moving ranges tell as much of the standard deviation as three fifths of the values would (H. L. Harter's
# relative efficiency of 0.605, as used for the individuals chart).
RANGE_WORTH = 0.605
# A law this sure of its share is the plain binomial.
SUREST = 1e9


@dataclass(frozen=True)
class ControlChart:
    """values, center (what is expected), lower, upper: shape (periods,)."""

    values: FloatArray
    center: FloatArray
    lower: FloatArray
    upper: FloatArray

    @property
    def is_high(self) -> BoolArray:
        """Periods above their upper limit."""
        return np.asarray(self.values > self.upper, dtype=bool)

    @property
    def is_out(self) -> BoolArray:
        """Periods outside their limits."""
        return np.asarray(self.is_high | (self.values < self.lower), dtype=bool)


def share_chart(
    counts: FloatArray, sizes: FloatArray, expected: Expected, *, periods_between_false_alarms: float | None = None
) -> ControlChart:
    """p chart of counts out of sizes, shape (periods,), where so many are expected. One of size zero is not out."""
    safe = np.maximum(sizes, 1.0)
    center = expected.mean / safe
    values = np.where(sizes > 0, counts / safe, center)
    if periods_between_false_alarms is None:
        reach = SIGMAS * np.sqrt(expected.variance) / safe
        return ControlChart(values, center, np.maximum(center - reach, 0.0), np.minimum(center + reach, 1.0))
    limits = [_limits(*each, 0.5 / periods_between_false_alarms) for each in _laws(safe, expected)]
    lower, upper = np.array(limits).reshape(-1, 2).T / safe
    return ControlChart(values, center, lower, upper)


def _laws(sizes: FloatArray, expected: Expected) -> list[tuple[int, float, float]]:
    """(trials, alpha, beta) of each period's beta-binomial law.

    A count of goods with different chances has nearly the binomial law of the same mean and variance (W. Ehm,
    Statistics & Probability Letters 11 (1991), 7-16); doubt of the chances widens it. Half a parcel either way stands
    for a baseline that saw none, or nothing else.
    """
    chance = np.clip(1.0 - expected.variance / np.maximum(expected.mean, 1e-12), 0.0, 1.0)
    chance = np.where(expected.mean > 0, chance, 0.0)
    trials = np.maximum(np.where(chance > 0, np.ceil(expected.mean / np.maximum(chance, 1e-12)), sizes), 1.0)
    trials = np.minimum(trials, np.maximum(sizes, np.ceil(expected.mean)))
    chance = np.clip(expected.mean / trials, 0.0, 1.0)
    wider = 1.0 + expected.doubt / np.maximum(trials * chance * (1.0 - chance), 1e-12)
    sure = np.clip((trials - wider) / np.maximum(wider - 1.0, 1e-12), 0.5, SUREST)
    sure = np.where(expected.mean > 0, sure, np.minimum(sure, expected.known))
    return [
        (int(count), share * weight + 0.5, (1.0 - share) * weight + 0.5)
        for count, share, weight in zip(trials, chance, sure, strict=True)
    ]


def _limits(trials: int, alpha: float, beta: float, tail: float) -> tuple[float, float]:
    """The counts that the beta-binomial law leaves `tail` below and above. scipy's quantile sums the law again at each
    step of a search; here it is summed once, as far as it matters."""
    mean = trials * alpha / (alpha + beta)
    deviation = np.sqrt(mean * (1.0 - mean / trials) * (alpha + beta + trials) / (alpha + beta + 1.0))
    reach, middle = np.ceil(DEVIATIONS * deviation) + 1, round(mean)
    counts = np.arange(max(middle - reach, 0), min(middle + reach, trials) + 1)
    of_count = gammaln(counts + alpha) - gammaln(counts + 1.0)
    of_rest = gammaln(trials - counts + beta) - gammaln(trials - counts + 1.0)
    of_all = gammaln(trials + 1.0) - gammaln(trials + alpha + beta) - betaln(alpha, beta)
    at = np.cumsum(np.exp(of_count + of_rest + of_all)).searchsorted([tail, 1.0 - tail]).clip(max=counts.size - 1)
    return float(counts[at[0]]), float(counts[at[1]])


def individuals_chart(
    values: FloatArray,
    *,
    baseline: int | None = None,
    periods_between_false_alarms: float | None = None,
    widths: FloatArray | None = None,
) -> ControlChart:
    """Chart of single values by their mean moving range, shape (periods,).

    `baseline`: how many first periods set the limits, at least 2; all if None. widths: how many times as far as the
    usual a period's value strays. Raises SettingsError for a shorter baseline.
    """
    usual = values[slice(0, baseline)]
    if usual.size < 2:
        raise _no_baseline("cost per parcel")
    center = np.full(values.size, float(usual.mean()))
    spread = np.ones(values.size) if widths is None else widths
    reach = _multiplier(usual.size, periods_between_false_alarms) * moving_sigma(usual) * spread
    return ControlChart(values, center, center - reach, center + reach)


def moving_sigma(values: FloatArray) -> float:
    """Standard deviation by the mean moving range of neighbours."""
    return float(np.abs(np.diff(values)).mean() / RANGE_TO_SIGMA)


def _multiplier(baseline: int, periods_between_false_alarms: float | None) -> float:
    if periods_between_false_alarms is None:
        return SIGMAS
    freedom = max(RANGE_WORTH * (baseline - 1), 1.0)
    chance = 1.0 - 0.5 / periods_between_false_alarms
    return float(student.ppf(chance, freedom) * np.sqrt(1.0 + 1.0 / baseline))


def _no_baseline(chart: str) -> SettingsError:
    return SettingsError(
        f"chart of {chart}",
        "the baseline holds too few periods to set limits",
        "alarms of this chart",
        "state a longer baseline, or wait for more weeks",
    )
