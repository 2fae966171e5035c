"""What an assortment saves on months it was not chosen on, with an interval over weeks."""

from dataclasses import dataclass
from math import nan

import numpy as np
from numpy.typing import ArrayLike, NDArray

from models.assortment.problem import Cents

DRAWS = 4000
# Were a loss as likely as a saving in each week, fewer weeks of saving in a row would pass by chance in more than one
# case of ten, which is what an 80 percent interval allows above it.
LEAST_WEEKS = 4


@dataclass(frozen=True)
class Saving:
    """Cents saved per parcel with its interval at `level`, and the cents, parcels and weeks it rests on.

    low, high: nan with fewer than two weeks. A saving below zero is a loss.
    """

    cents_per_parcel: float
    low: float
    high: float
    level: float
    saved_cents: float
    parcels: float
    weeks: int


def serve(costs_cents: Cents, sizes: tuple[int, ...]) -> tuple[NDArray[np.int64], Cents]:
    """The cheapest of the given sizes for each row (n) and its cost; -1 and nan where none of them fits.

    costs_cents: n x m, inf where a size does not fit. For parcels that had no say in the choice of the sizes.
    """
    chosen = np.array(sizes, dtype=np.int64)
    costs = np.asarray(costs_cents, dtype=float)[:, chosen]
    if costs.size == 0:
        return np.full(len(costs), -1, dtype=np.int64), np.full(len(costs), nan)
    least = costs.min(axis=1)
    fits = np.isfinite(least)
    return np.where(fits, chosen[costs.argmin(axis=1)], -1), np.where(fits, least, nan)


def bootstrap_saving(
    week: ArrayLike,
    saving_cents: ArrayLike,
    parcels: ArrayLike,
    *,
    level: float = 0.95,
    draws: int = DRAWS,
    seed: int = 1,
) -> Saving:
    """Saving per parcel from rows of one class and week each, with a percentile bootstrap interval over whole weeks.

    week: n labels; saving_cents: n, cents saved per parcel; parcels: n. Weeks are drawn, not parcels: parcels of one
    week share their mix, so drawing them one by one would make the interval too narrow. With few weeks (below about
    ten) it is still somewhat too narrow. Efron and Tibshirani, An Introduction to the Bootstrap (1993), chapter 13.
    Raises ValueError for no parcels or a missing figure.
    """
    labels, at = np.unique(np.asarray(week), return_inverse=True)
    counts = np.asarray(parcels, dtype=float)
    saved = np.bincount(at, weights=np.asarray(saving_cents, dtype=float) * counts).astype(float)
    sent = np.bincount(at, weights=counts).astype(float)
    if not (np.isfinite(saved).all() and np.isfinite(sent).all() and sent.sum() > 0):
        raise ValueError("a saving needs parcels, and a figure for each row")
    low, high = _interval(saved, sent, level, draws, seed) if len(labels) > 1 else (nan, nan)
    estimate = float(saved.sum() / sent.sum())
    return Saving(estimate, low, high, level, float(saved.sum()), float(sent.sum()), len(labels))


def _interval(saved: Cents, sent: Cents, level: float, draws: int, seed: int) -> tuple[float, float]:
    drawn = drawn_savings(saved, sent, draws, seed)
    low, high = np.quantile(drawn, [(1 - level) / 2, (1 + level) / 2])
    return float(low), float(high)


def drawn_savings(saved: ArrayLike, sent: ArrayLike, draws: int = DRAWS, seed: int = 1) -> Cents:
    """Draws of the saving per parcel, each of as many weeks as there are, taken with replacement: shape (draws,).

    saved, sent: cents and parcels of each week, at least two.
    """
    weeks = np.column_stack([np.asarray(saved, dtype=float), np.asarray(sent, dtype=float)])
    often = np.random.default_rng(seed).multinomial(len(weeks), np.full(len(weeks), 1 / len(weeks)), draws)
    cents, parcels = (often @ weeks).T
    found: Cents = cents / parcels
    return found
