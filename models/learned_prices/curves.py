"""Price curves of lanes: what the cells themselves were billed, drawn to the pooled price, and not falling."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import isotonic_regression

from models.learned_prices.cells import Cells, Numbers, Places
from models.learned_prices.pooling import mad, pooled

# From so many bills on the middle one is taken as it is; below it is doubted where it is far from the pooled price.
ENOUGH = 3
FAR = 4.0
# What a price that nobody was billed counts in the non-falling fit.
LIGHT = 0.05


@dataclass(frozen=True)
class LaneCurve:
    """Price of a lane by weight band: bands, rising, the cents at each, not falling, and the bills of each.

    Between two bands the price is interpolated; before the first and beyond the last there is none.
    """

    bands: Places
    cents: Numbers
    counts: Numbers

    def price_at(self, bands: Places) -> Numbers:
        """Whole cents for each band; not a number outside those seen."""
        found = np.interp(bands, self.bands, self.cents, left=np.nan, right=np.nan)
        rounded: Numbers = np.floor(found + 0.5)
        return rounded

    def count_at(self, bands: Places) -> Numbers:
        """The bills seen of each band itself."""
        place = np.clip(np.searchsorted(self.bands, bands), 0, len(self.bands) - 1)
        return np.where(self.bands[place] == bands, self.counts[place], 0.0)


def curves(found: Cells) -> list[LaneCurve]:
    """One curve for each lane of the cells."""
    knots, smooth = found.knots, pooled(found)
    expected = np.array(
        [np.interp(band, knots, smooth[lane]) for lane, band in zip(found.lane, found.band, strict=True)]
    )
    own, weights = _drawn(found, expected)
    return [
        _curve(found.band[is_lane], own[is_lane], weights[is_lane], found.counts[is_lane], knots, smooth[lane])
        for lane in range(len(found.lanes))
        for is_lane in [found.lane == lane]
    ]


def _drawn(found: Cells, expected: Numbers) -> tuple[Numbers, Numbers]:
    """Each cell's own price drawn to the expected one as far as bills scatter, and its weight."""
    # The middle of an even number of bills lies between two: of these, the one nearer to what others say.
    middle = np.clip(expected, found.low, found.high)
    is_sure = found.counts >= ENOUGH
    within = mad(found.spreads)
    between = np.sqrt(max(mad((middle - expected)[is_sure]) ** 2 - within**2, 0.02**2))
    drawn_by = (within / between) ** 2
    far = np.abs(middle - expected) / (FAR * np.hypot(within, between))
    trust = np.where(is_sure, 1.0, np.maximum(1 - far**2, 0) ** 2)
    weights = found.counts * trust
    total = weights + drawn_by
    own = np.where(total > 0, (weights * middle + drawn_by * expected) / np.where(total > 0, total, 1), expected)
    return own, np.maximum(total, LIGHT)


def _curve(bands: Places, own: Numbers, weights: Numbers, counts: Numbers, knots: Places, smooth: Numbers) -> LaneCurve:
    """The lane's curve over its own bands and, between them, those at which others were billed."""
    others = np.setdiff1d(knots[(knots > bands[0]) & (knots < bands[-1])], bands)
    order = np.argsort(np.r_[bands, others])
    filled = np.r_[own, np.interp(others, knots, smooth)]
    light = np.r_[weights, np.full(len(others), LIGHT)]
    prices = isotonic_regression(filled[order], weights=light[order]).x
    return LaneCurve(np.r_[bands, others][order], np.exp(prices), np.r_[counts, np.zeros(len(others))][order])
