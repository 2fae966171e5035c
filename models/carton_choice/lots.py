"""How many to order: whole packs, the supplier's minimum, and the price that falls with the quantity.

All-units discount: the price of the highest quantity reached holds for every piece of the order. Cost of a year with
lots of Q pieces, use D a year, order cost K, storage s for each piece and year, and interest i on the money tied up:
D c(Q) + K D / Q + (s + i c(Q)) Q / 2 (F. W. Harris, "How many parts to make at once", Factory, The Magazine of
Management 10, 1913; G. Hadley, T. M. Whitin, "Analysis of Inventory Systems", 1963, section 2-11, number from memory).
The lots possible are few, so each is priced.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
# No lot is larger than what a year uses, unless it costs less money than the smaller one: sizes and prices change
# (common practice, no source).
MOST_LOTS = 100_000


@dataclass(frozen=True)
class Supply:
    """How a size is sold. unit_cents: price of one where no step is reached. steps: (fewest pieces, cents each)."""

    unit_cents: float
    steps: Sequence[tuple[int, float]] = ()
    minimum: int = 1
    pack: int = 1

    def price_cents(self, pieces: Numbers) -> Numbers:
        """Cents for each piece of an order of so many."""
        steps = sorted(self.steps)
        prices = np.array([self.unit_cents, *(cents for _, cents in steps)], dtype=float)
        return np.asarray(prices[np.searchsorted([fewest for fewest, _ in steps], pieces, side="right")])

    def lots(self, least: float, most: float) -> Numbers:
        """Orders of whole packs from the least that is wanted to the most; the least one where even that is more."""
        first = max(ceil(max(least, self.minimum, 1) / self.pack), 1)
        last = max(first, int(most // self.pack))
        packs = np.unique(np.linspace(first, last, min(last - first + 1, MOST_LOTS)).astype(np.int64))
        return np.asarray(packs * self.pack, dtype=np.float64)


@dataclass(frozen=True)
class Holding:
    """What it costs to order and to keep: cents for an order, cents a year for storing a piece, interest a year."""

    order_cents: float = 0.0
    storage_year_cents: float = 0.0
    interest: float = 0.0

    def is_stated(self) -> bool:
        """Whether an economic quantity exists: both what an order costs and what keeping costs are stated."""
        return self.order_cents > 0 and (self.storage_year_cents > 0 or self.interest > 0)


def year_cents(lots: Numbers, yearly_use: float, supply: Supply, holding: Holding) -> Numbers:
    """Cents of a year with lots of each size: purchase, orders, storage and interest."""
    price = supply.price_cents(lots)
    kept = (holding.storage_year_cents + holding.interest * price) * lots / 2
    return np.asarray(yearly_use * price + holding.order_cents * yearly_use / lots + kept)


def economic_lot(yearly_use: float, supply: Supply, holding: Holding, least: float = 1) -> int:
    """The lot that costs least in a year, the smallest of equals; at least what is missing now."""
    lots = supply.lots(least, yearly_use)
    best = lots[np.argmin(year_cents(lots, yearly_use, supply, holding))]
    return _for_less_money(best, lots[-1], supply)


def lot_for(wanted: float, yearly_use: float, supply: Supply) -> int:
    """The lot that holds what is wanted for the least money: a larger one only where its price makes it cheaper."""
    lots = supply.lots(wanted, max(yearly_use, wanted))
    return _for_less_money(lots[np.argmin(lots * supply.price_cents(lots))], lots[-1], supply)


def _for_less_money(lot: float, most: float, supply: Supply) -> int:
    """The lot, or one above the most that reaches a lower price and costs less at once: the rest may be lost."""
    reached = [ceil(fewest / supply.pack) * supply.pack for fewest, _ in supply.steps if fewest > most]
    lots = np.array([lot, *sorted(reached)], dtype=float)
    return int(lots[np.argmin(lots * supply.price_cents(lots))])
