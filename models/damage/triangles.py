"""Chain ladder on a month triangle: the cross-check of the daily lag curve.

T. Mack, "Distribution-free calculation of the standard error of chain ladder reserve estimates", ASTIN Bulletin 23
(1993), 213-225.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from models.damage.arrays import Dates, FloatArray, days
from models.errors import NotFoundError

LEAST_MONTHS = 3


@dataclass(frozen=True)
class ChainLadder:
    """factors: (months - 1,), growth from one delay to the next. ultimate, outstanding, standard_error: (months,), by
    month of shipping, oldest first. total_standard_error: of the outstanding claims of all months together."""

    factors: FloatArray
    ultimate: FloatArray
    outstanding: FloatArray
    standard_error: FloatArray
    total_standard_error: float

    @property
    def cumulative(self) -> FloatArray:
        """Share of the ultimate reached at each delay, shape (months,); the last is 1."""
        return np.append(1.0 / np.cumprod(self.factors[::-1])[::-1], 1.0)


def claim_triangle(shipped_on: Dates, opened_on: Dates, as_of: object) -> FloatArray:
    """Cumulative claims by month of shipping (rows) and months of delay (columns), up to the last complete month.

    What lies after the last complete month is not a number. Shape (months, months).
    """
    shipped, opened = days(shipped_on), days(opened_on)
    known = ~(np.isnat(shipped) | np.isnat(opened))
    ship_month, open_month = (each[known].astype("datetime64[M]").astype(np.int64) for each in (shipped, opened))
    last = int((days([as_of])[0] + 1).astype("datetime64[M]").astype(np.int64)) - 1
    first = int(ship_month.min(initial=last))
    kept = (open_month >= ship_month) & (open_month <= last)
    months = last - first + 1
    triangle = np.zeros((months, months))
    np.add.at(triangle, (ship_month[kept] - first, (open_month - ship_month)[kept]), 1.0)
    triangle = np.cumsum(triangle, axis=1)
    triangle[np.add.outer(np.arange(months), np.arange(months)) >= months] = np.nan
    return triangle


def chain_ladder(triangle: FloatArray) -> ChainLadder:
    """Ultimate claims and their standard errors from a cumulative triangle, shape (months, months).

    A delay without any claim before it has growth 1. Raises NotFoundError below LEAST_MONTHS months.
    """
    months = triangle.shape[0]
    if months < LEAST_MONTHS:
        raise NotFoundError(
            "claim triangle",
            f"{months} complete months of shipping, at least {LEAST_MONTHS} needed",
            "the chain-ladder cross-check",
            "wait for more months; the daily lag curve needs none of this",
        )
    factors, sums = _growth(triangle)
    full = _completed(triangle, factors)
    relative = _variances(triangle, factors) / factors**2
    latest = np.array([triangle[row, months - 1 - row] for row in range(months)])
    deviation = np.sqrt([_row_variance(full[row], relative, sums, months - 1 - row) for row in range(months)])
    ultimate = full[:, -1]
    total = _total_variance(ultimate, deviation, relative, sums)
    return ChainLadder(factors, ultimate, ultimate - latest, deviation, float(np.sqrt(total)))


def _growth(triangle: FloatArray) -> tuple[FloatArray, FloatArray]:
    months = triangle.shape[0]
    sums = np.array([triangle[: months - 1 - delay, delay].sum() for delay in range(months - 1)])
    grown = np.array([triangle[: months - 1 - delay, delay + 1].sum() for delay in range(months - 1)])
    return np.divide(grown, sums, out=np.ones_like(sums), where=sums > 0), sums


def _completed(triangle: FloatArray, factors: FloatArray) -> FloatArray:
    full = triangle.copy()
    for delay, factor in enumerate(factors):
        missing = np.isnan(full[:, delay + 1])
        full[missing, delay + 1] = full[missing, delay] * factor
    return full


def _variances(triangle: FloatArray, factors: FloatArray) -> FloatArray:
    months = triangle.shape[0]
    sigma2 = np.zeros(months - 1)
    for delay in range(months - 2):
        now, then = triangle[: months - 1 - delay, delay], triangle[: months - 1 - delay, delay + 1]
        link = np.divide(then, now, out=np.full_like(now, factors[delay]), where=now > 0)
        sigma2[delay] = (now * (link - factors[delay]) ** 2).sum() / (months - delay - 2)
    # One link cannot show a spread: Mack's rule for the last delay.
    before, last = sigma2[-3] if months > LEAST_MONTHS else sigma2[-2], sigma2[-2]
    sigma2[-1] = min(last**2 / before if before > 0 else 0.0, before, last)
    return sigma2


def _row_variance(row: FloatArray, relative: FloatArray, sums: FloatArray, start: int) -> float:
    delays = slice(start, None)
    reached = np.divide(1.0, row[:-1], out=np.zeros(row.size - 1), where=row[:-1] > 0)
    pooled = np.divide(1.0, sums, out=np.zeros_like(sums), where=sums > 0)
    return float(row[-1] ** 2 * (relative * (reached + pooled))[delays].sum())


def _total_variance(ultimate: FloatArray, deviation: FloatArray, relative: FloatArray, sums: FloatArray) -> float:
    months = ultimate.size
    shared = np.divide(2.0 * relative, sums, out=np.zeros_like(sums), where=sums > 0)
    younger = np.append(np.cumsum(ultimate[::-1])[::-1][1:], 0.0)
    joint = [ultimate[row] * younger[row] * shared[months - 1 - row :].sum() for row in range(months)]
    return float((deviation**2).sum() + np.sum(joint))
