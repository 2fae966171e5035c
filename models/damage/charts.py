"""Control charts for shares (surcharged parcels) and for single values (cost per parcel by week).

With `periods_between_false_alarms` the limits foretell the next period, what the baseline leaves unknown included, so
that a false alarm on either side comes about once in so many periods. Without it they are the classical three-sigma
limits of NIST/SEMATECH, e-Handbook of Statistical Methods, sections 6.3.2.2 and 6.3.3.2.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import betaln, gammaln
from scipy.stats import betabinom
from scipy.stats import t as student

from models.damage.arrays import BoolArray, FloatArray, IntArray
from models.errors import SettingsError

DEVIATIONS = (
    40.0  # from the mean; by Chebyshev's inequality less than 1 in 1,600 lies beyond, far less than a tail asked for
)
SIGMAS = 3.0
RANGE_TO_SIGMA = 1.128  # mean range of two normal values over their standard deviation
# Mean moving ranges tell as much of the standard deviation as three fifths of the values would (H. L. Harter's
# relative efficiency of 0.605, as used for the individuals chart).
RANGE_WORTH = 0.605


@dataclass(frozen=True)
class ControlChart:
    """center: mean of the baseline. values, lower, upper: shape (periods,)."""

    values: FloatArray
    center: float
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
    counts: FloatArray,
    sizes: FloatArray,
    *,
    baseline: int | None = None,
    periods_between_false_alarms: float | None = None,
) -> ControlChart:
    """p chart of counts out of sizes, shape (periods,). `baseline`: how many first periods set the limits; all if None.

    A period of size zero is never out. Raises SettingsError for a baseline without parcels.
    """
    first = slice(0, baseline)
    total, marked = float(sizes[first].sum()), float(counts[first].sum())
    if total <= 0:
        raise _no_baseline("surcharge share")
    center = marked / total
    values = np.divide(counts, sizes, out=np.full(sizes.size, center), where=sizes > 0)
    safe = np.maximum(np.round(sizes), 1.0)
    if periods_between_false_alarms is None:
        reach = SIGMAS * np.sqrt(center * (1.0 - center) / safe)
        return ControlChart(values, center, np.maximum(center - reach, 0.0), np.minimum(center + reach, 1.0))
    tail = 0.5 / periods_between_false_alarms
    each, back = np.unique(safe, return_inverse=True)
    lower, upper = _forecast(each.astype(np.int64), marked + 0.5, total - marked + 0.5, tail) / each
    return ControlChart(values, center, lower[back], upper[back])


def _forecast(sizes: IntArray, marked: float, others: float, tail: float) -> FloatArray:
    """The counts of periods of these sizes that the beta-binomial law leaves `tail` below and above: shape (2, sizes).

    scipy's quantile sums the law anew at each step of a search; here it is summed once, as far as it matters. The law
    is a product of a term of the count, one of the remainder and one of the size, so the terms of all counts up to
    the largest size are found once for all periods.
    """
    counts = np.arange(int(sizes.max()) + 1)
    of_count = gammaln(counts + marked) - gammaln(counts + 1.0)
    of_rest = (gammaln(counts + others) - gammaln(counts + 1.0))[::-1]
    of_size = gammaln(sizes + 1.0) - gammaln(sizes + marked + others) - betaln(marked, others)
    mean, variance = betabinom.stats(sizes, marked, others)
    reach, middle = np.ceil(DEVIATIONS * np.sqrt(variance)) + 1, np.round(mean)
    starts = np.maximum(middle - reach, 0).astype(np.int64)
    ends = np.minimum(middle + reach, sizes).astype(np.int64) + 1
    limits = np.empty((2, sizes.size))
    for at, (size, start, end) in enumerate(zip(sizes, starts, ends, strict=True)):
        shift = counts.size - 1 - size
        law = np.exp(of_count[start:end] + of_rest[shift + start : shift + end] + of_size[at])
        limits[:, at] = start + np.cumsum(law).searchsorted([tail, 1.0 - tail]).clip(max=end - start - 1)
    return limits


def individuals_chart(
    values: FloatArray, *, baseline: int | None = None, periods_between_false_alarms: float | None = None
) -> ControlChart:
    """Chart of single values by their mean moving range, shape (periods,). `baseline` as in share_chart, at least 2."""
    usual = values[slice(0, baseline)]
    if usual.size < 2:
        raise _no_baseline("cost per parcel")
    center = float(usual.mean())
    reach = np.full(values.size, _multiplier(usual.size, periods_between_false_alarms) * moving_sigma(usual))
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
