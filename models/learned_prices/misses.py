"""How far learned prices miss, by how many bills stand behind the price itself: from bills that were left out.

The interval of a price is split-conformal: of a class of n left-out bills the share that it must hold is a rank among
their n misses (Vovk, Gammerman, Shafer, Algorithmic Learning in a Random World, 2005, section 4.5; by classes). Since a
bill outside the interval is no rare thing, one in twenty, a bill is called wrong only where it lies FARTHER than that.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from models.learned_prices.cells import Numbers

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
