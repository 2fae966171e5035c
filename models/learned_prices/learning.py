"""Prices of one carrier learned from its bills, with an interval for each, and their error on bills left out.

All that is said of a price is said of the price as it is written: in whole cents, for a weight band.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.learned_prices.cells import LANE, Numbers, Places, banded, cells
from models.learned_prices.curves import LaneCurve, curves

FOLDS = 10
_SEED = 20_26


@dataclass(frozen=True)
class LearnedLane:
    """The learned base prices of one service and zone.

    curve: over weight bands of `step`. bill_count: bills it was learned from. lightest, heaviest: billed weights seen.
    error_cents, error_share: mean absolute error on bills left out in turn, in cents and as a share of the bill; None
    where none of them had a price. outside_count: bills left out that no price of the rest held.
    """

    service: str
    zone: str
    step: float
    curve: LaneCurve
    misses: Misses
    bill_count: int
    lightest: float
    heaviest: float
    error_cents: float | None
    error_share: float | None
    outside_count: int


def learned(bills: pd.DataFrame, step: float = 1.0) -> list[LearnedLane]:
    """The prices of each service and zone of one carrier's bills, in their order.

    bills: one row per parcel with service, zone, billed_weight and base_cents; rows without weight or charge are left
    out. step: the prices' step of weight, in the unit of the weights.
    """
    usable = banded(bills, step).reset_index(drop=True)
    if usable.empty:
        return []
    left_out, support = _left_out(usable)
    misses = gathered(left_out, usable["base_cents"].to_numpy(dtype=np.float64), support)
    found = cells(usable)
    rows = usable.assign(left_out=left_out).groupby(LANE, sort=True, observed=True)
    return [
        _lane(lane, step, curve, misses, rows.get_group(lane))
        for lane, curve in zip(found.lanes, curves(found), strict=True)
    ]


def _lane(lane: tuple[str, str], step: float, curve: LaneCurve, misses: Misses, rows: pd.DataFrame) -> LearnedLane:
    priced = rows.dropna(subset=["left_out"])
    errors = (priced["left_out"] - priced["base_cents"]).abs()
    weights = rows["billed_weight"]
    return LearnedLane(
        *lane,
        step,
        curve,
        misses,
        len(rows),
        float(weights.min()),
        float(weights.max()),
        float(errors.mean()) if len(priced) else None,
        float((errors / priced["base_cents"]).mean()) if len(priced) else None,
        len(rows) - len(priced),
    )


def _left_out(bills: pd.DataFrame) -> tuple[Numbers, Numbers]:
    """What each bill would have been priced at by prices that had not seen it, and the bills behind them."""
    folds = np.random.default_rng(_SEED).permutation(len(bills)) % min(FOLDS, len(bills))
    prices, support = np.full(len(bills), np.nan), np.zeros(len(bills))
    for fold in range(folds.max() + 1):
        is_out = folds == fold
        if not is_out.all():
            prices[is_out], support[is_out] = priced(bills[~is_out], bills[is_out])
    return prices, support


def priced(bills: pd.DataFrame, asked: pd.DataFrame) -> tuple[Numbers, Numbers]:
    """The price of each asked row (service, zone, band) by prices learned from the bills, and the bills behind it."""
    found = cells(bills)
    prices, support = np.full(len(asked), np.nan), np.zeros(len(asked))
    lanes = asked.reset_index(drop=True).groupby(LANE, observed=True).indices
    for lane, curve in zip(found.lanes, curves(found), strict=True):
        rows = lanes.get(lane)
        if rows is not None:
            bands: Places = asked["band"].to_numpy(dtype=np.intp)[rows]
            prices[rows], support[rows] = curve.price_at(bands), curve.count_at(bands)
    return prices, support


# The classes of support begin at so many bills of the price itself; the first is of prices between those billed.
SUPPORTS = (0, 1, 2, 3, 6)
INTERVAL_SHARE = 0.95
# Of fewer left-out bills nothing is said of how far a price may miss.
LEAST = 20
FARTHER = 3.0


@dataclass(frozen=True)
class Misses:
    """The share of a price, by class of support, that the interval reaches to either side; None where not known."""

    shares: tuple[float | None, ...]

    def interval_at(self, cents: Numbers, counts: Numbers) -> list[int | None]:
        """Half the interval of each price in cents, upwards to the whole cent."""
        return [self._cents(price, count, 1.0) for price, count in zip(cents, counts, strict=True)]

    def miss_at(self, cents: Numbers, counts: Numbers) -> list[int | None]:
        """How far from each price a bill is no evidence of an error, in cents; a cent is never one."""
        found = (self._cents(price, count, FARTHER) for price, count in zip(cents, counts, strict=True))
        return [None if miss is None else miss + 1 for miss in found]

    def _cents(self, price: float, count: float, times: float) -> int | None:
        share = self.shares[int(np.searchsorted(SUPPORTS, count, side="right")) - 1]
        return None if share is None or np.isnan(price) else int(np.ceil(round(price * share * times, 6)))


def gathered(left_out: Numbers, billed: Numbers, support: Numbers) -> Misses:
    """The misses of bills left out: their price (none: not a number), what was billed, the bills behind it."""
    is_priced = ~np.isnan(left_out)
    shares = np.abs(billed - left_out)[is_priced] / left_out[is_priced]
    classes = np.searchsorted(SUPPORTS, support[is_priced], side="right") - 1
    found: list[float | None] = []
    for number in range(len(SUPPORTS)):
        # A class with too few bills goes with those that have less behind them, which miss farther.
        for first in range(number, -1, -1):
            own = shares[(classes >= first) & (classes <= number)]
            if len(own) >= LEAST:
                break
        found.append(_bound(own if len(own) >= LEAST else shares))
    return Misses(tuple(found))


def _bound(shares: Numbers) -> float | None:
    if len(shares) < LEAST:
        return None
    rank = min(int(np.ceil((len(shares) + 1) * INTERVAL_SHARE)), len(shares))
    return float(np.sort(shares)[rank - 1])


WHOLE = ["price_cents", "interval_cents", "miss_cents"]


def price_rows(lanes: Iterable[LearnedLane]) -> pd.DataFrame:
    """service, zone, up_to_weight, price_cents, interval_cents, miss_cents (Int64), one row for each band of weight.

    Bands lie within the weights seen; before them stands one row without a price, so that lighter parcels are listed as
    unrated.
    """
    parts = [_rows(lane) for lane in lanes]
    return pd.concat(parts, ignore_index=True).astype(dict.fromkeys(WHOLE, "Int64"))


def _rows(lane: LearnedLane) -> pd.DataFrame:
    first, last = int(lane.curve.bands[0]), int(lane.curve.bands[-1])
    bands = np.arange(first, last + 1)
    cents, counts = lane.curve.price_at(bands), lane.curve.count_at(bands)
    found = pd.DataFrame(
        {
            "up_to_weight": bands,
            "price_cents": cents,
            "interval_cents": lane.misses.interval_at(cents, counts),
            "miss_cents": lane.misses.miss_at(cents, counts),
        }
    ).astype(dict.fromkeys(WHOLE, "Int64"))
    if first > 1:
        lighter = pd.DataFrame({"up_to_weight": [first - 1]} | {name: [pd.NA] for name in WHOLE}).astype(found.dtypes)
        found = pd.concat([lighter, found], ignore_index=True)
    weights = (found["up_to_weight"] * lane.step).round(3)
    return found.assign(service=lane.service, zone=lane.zone, up_to_weight=weights)[
        ["service", "zone", "up_to_weight", *WHOLE]
    ]
