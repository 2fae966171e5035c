"""How large cartons measure when closed, by the carriers' bills; how often surcharges are charged, with intervals."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.stats import binom

from models.analyses.question import Question
from models.damage.rates import jeffreys_interval

LEVEL = 0.95
LEAST_BILLS = 5


class _Ordered(Protocol):
    def __len__(self) -> int: ...
    def __getitem__(self, place: int, /) -> float: ...


def learned_sides(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.learned_sides from marts.carton_bulges: the median bulge of each carton, cut height and side.

    Interval of a median: order statistics by the binomial distribution (W. J. Conover, Practical nonparametric
    statistics, 3rd ed., section 3.2, 1999), at least LEVEL; no interval where the bills are too few for one.
    """
    bulges = question.table("marts.carton_bulges")
    cells = bulges.groupby(["carton_code", "cut_height_in", "side"], sort=True, dropna=False)
    rows = [_carton(key, part) for key, part in cells if part["parcel_count"].sum() >= LEAST_BILLS]
    names = ["carton_code", "cut_height_in", "side", "parcel_count", "named_in"]
    return {
        "analysis.learned_sides": pd.DataFrame(
            rows, columns=[*names, "bulge_in", "bulge_low_in", "bulge_high_in", "usual_in"]
        )
    }


def _carton(key: tuple[Hashable, ...], part: pd.DataFrame) -> dict[str, object]:
    counts = part["parcel_count"].to_numpy(dtype=np.int64)
    bulges, named = (_Counted.of(part[name].to_numpy(dtype=np.float64), counts) for name in ("bulge_in", "named_in"))
    low, high = median_interval(bulges)
    names = dict(zip(("carton_code", "cut_height_in", "side"), key, strict=True))
    return {
        **names,
        "parcel_count": len(bulges),
        "named_in": named.median,
        "bulge_in": bulges.median,
        "usual_in": named.median + bulges.median,
        "bulge_low_in": low,
        "bulge_high_in": high,
    }


@dataclass(frozen=True)
class _Counted:
    """Numbers in rising order, each so many times; `ends` are the counts summed so far."""

    values: NDArray[np.float64]
    ends: NDArray[np.int64]

    @classmethod
    def of(cls, values: NDArray[np.float64], counts: NDArray[np.int64]) -> _Counted:
        order = np.argsort(values, kind="stable")
        return cls(values[order], np.cumsum(counts[order]))

    def __len__(self) -> int:
        return int(self.ends[-1])

    def __getitem__(self, place: int) -> float:
        return float(self.values[np.searchsorted(self.ends, place, side="right")])

    @property
    def median(self) -> float:
        """The middle one, or the mean of the middle two."""
        return (self[(len(self) - 1) // 2] + self[len(self) // 2]) / 2


def median_interval(ordered: _Ordered, level: float = LEVEL) -> tuple[float, float]:
    """Values between which the median lies with at least this confidence; not a number where too few are given.

    ordered: n rising values. The r-th smallest and r-th largest, with r the greatest such that a fair coin
    thrown n times shows fewer than r heads with a chance of at most half of 1 - level.
    """
    count = len(ordered)
    below = int(binom.ppf((1.0 - level) / 2.0, count, 0.5))
    rank = below if binom.cdf(below, count, 0.5) > (1.0 - level) / 2.0 else below + 1
    if rank < 1:
        return float("nan"), float("nan")
    return float(ordered[rank - 1]), float(ordered[count - rank])


def surcharge_rates(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.surcharge_rates: marts.surcharge_year with Jeffreys intervals of each rate and the avoidable share."""
    year = question.table("marts.surcharge_year")
    charged, parcels = (year[name].to_numpy(dtype=np.float64) for name in ("charged_parcel_count", "parcel_count"))
    low, high = jeffreys_interval(charged, parcels)
    amounts = year["amount_cents"].to_numpy(dtype=np.float64)
    share = np.divide(year["avoidable_cents"].to_numpy(dtype=np.float64), amounts, where=amounts > 0, out=0 * amounts)
    rates = year.assign(rate_low=low, rate_high=high, avoidable_share=np.clip(share, 0.0, 1.0))
    return {"analysis.surcharge_rates": rates}
