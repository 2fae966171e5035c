"""Prices learned from billed history where a shop has no price table: by isotonic regression on billed weight.

A carrier's base price does not fall as weight grows. That is all that is assumed; between two weights seen the price
is interpolated, and outside the weights seen there is none. Weights are in any one unit, the same throughout.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd
from scipy.optimize import isotonic_regression

Numbers = npt.NDArray[np.float64]
LANE = ("carrier", "service", "zone", "period")
FOLDS = 10
# Of n parcels left out, a further one misses by more than all of them once in n + 1.
LEAST_FOR_MISS = 20
_SEED = 20_26


@dataclass(frozen=True)
class RateCurve:
    """The learned base price of one carrier, service, zone and tariff period.

    weights: distinct billed weights, rising; prices_cents: the price at each, not falling. parcel_count: parcels it
    was learned from. error_cents and error_share: mean absolute error on parcels left out in turn, in cents and as a
    share of their bill; None where too few parcels were seen. miss_cents: the most that any of them was missed by, in
    whole cents upwards; None where fewer than LEAST_FOR_MISS were priced. outside_count: parcels left out that lay
    outside the weights of the rest, so that they had no price.
    """

    carrier: str
    service: str
    zone: str
    period: str
    weights: Numbers
    prices_cents: Numbers
    parcel_count: int
    error_cents: float | None
    error_share: float | None
    outside_count: int
    miss_cents: int | None = None

    def price_at(self, weights: npt.ArrayLike) -> Numbers:
        """Cents for each weight; not a number outside the weights seen."""
        return _interpolated(np.asarray(weights, dtype=np.float64), self.weights, self.prices_cents)


def learned(bills: pd.DataFrame) -> list[RateCurve]:
    """A curve for each carrier, service, zone and period of the bills.

    bills: one row per parcel with LANE, billed_weight and base_cents. Rows
    without weight or with no charge are left out.
    """
    usable = bills[(bills["billed_weight"] > 0) & (bills["base_cents"] > 0)]
    return [
        _curve((str(lane[0]), str(lane[1]), str(lane[2]), str(lane[3])), rows)
        for lane, rows in usable.groupby(list(LANE), sort=True, observed=True, dropna=True)
    ]


def _curve(lane: tuple[str, str, str, str], rows: pd.DataFrame) -> RateCurve:
    weights = rows["billed_weight"].to_numpy(dtype=np.float64)
    cents = rows["base_cents"].to_numpy(dtype=np.float64)
    seen, prices = fitted(weights, cents)
    left_out = _left_out(weights, cents)
    misses = np.abs(left_out - cents)
    is_priced = ~np.isnan(misses)
    return RateCurve(
        *lane,
        seen,
        prices,
        len(rows),
        float(misses[is_priced].mean()) if is_priced.any() else None,
        float((misses[is_priced] / cents[is_priced]).mean()) if is_priced.any() else None,
        int((~is_priced).sum()),
        _most(misses[is_priced]),
    )


def _most(misses: Numbers) -> int | None:
    # A price is rounded to the cent, which may add one.
    return None if len(misses) < LEAST_FOR_MISS else int(np.ceil(np.round(misses.max(), 6))) + 1


def fitted(weights: Numbers, cents: Numbers) -> tuple[Numbers, Numbers]:
    """Distinct weights, rising, and the price at each: the non-falling prices nearest in least squares."""
    seen, place = np.unique(weights, return_inverse=True)
    parcels = np.bincount(place).astype(np.float64)
    means = np.bincount(place, weights=cents) / parcels
    return seen, np.asarray(isotonic_regression(means, weights=parcels).x, dtype=np.float64)


def _left_out(weights: Numbers, cents: Numbers) -> Numbers:
    """What each parcel would have been priced at by a curve that had not seen its tenth of the parcels."""
    folds = np.random.default_rng(_SEED).permutation(len(weights)) % min(FOLDS, len(weights))
    found = np.full(len(weights), np.nan)
    for fold in range(folds.max() + 1):
        rest = folds != fold
        if rest.any():
            found[~rest] = _interpolated(weights[~rest], *fitted(weights[rest], cents[rest]))
    return found


def _interpolated(weights: Numbers, seen: Numbers, prices: Numbers) -> Numbers:
    return np.interp(weights, seen, prices, left=np.nan, right=np.nan)


def as_prices(curves: Iterable[RateCurve], step: float = 1.0) -> pd.DataFrame:
    """The curves as rows of a price file: service, zone, up_to_weight, price_cents, miss_cents (Int64).

    One row for each multiple of the step within the weights seen, and before them one row without a price, so that
    lighter parcels are listed as unrated. Give the curves of one carrier and one period.
    """
    rows: list[tuple[str, str, float, int | None, int | None]] = []
    for curve in curves:
        first, last = np.ceil(curve.weights[0] / step), np.floor(curve.weights[-1] / step)
        if first > 1:
            rows.append((curve.service, curve.zone, float((first - 1) * step), None, curve.miss_cents))
        weights = np.arange(first, last + 1) * step
        cents = np.floor(curve.price_at(weights) + 0.5)
        rows += [
            (curve.service, curve.zone, float(w), int(c), curve.miss_cents) for w, c in zip(weights, cents, strict=True)
        ]
    frame = pd.DataFrame(rows, columns=["service", "zone", "up_to_weight", "price_cents", "miss_cents"])
    return frame.astype({"price_cents": "Int64", "miss_cents": "Int64"})
