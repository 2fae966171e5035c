"""The steps between two margins: what the change of each factor was worth, whatever the order of the changes.

A margin is n parcels, times the share s of each item type, times the share r of each service and zone band within its
item type, times the money per parcel p of each kind. Each step is the Shapley value of one of these factors: what its
change from before to after is worth, averaged over all orders in which the factors may change (L. S. Shapley, "A value
for n-person games", 1953; A. F. Shorrocks, Journal of Economic Inequality 11 (2013), 99-126). So no order of steps
is preferred, nothing is left over, and the bridge back is the bridge with the signs turned.

- one step per kind of money: the change of p. Carriage, fuel and surcharges differ by carrier, service and zone band,
  the rest by item type alone;
- mix of services and zones: the change of r; mix of item types: the change of s; parcels sent: the change of n.

The margin is a sum over kinds, and to each of them only its own p matters, so that four factors give the steps of
all kinds. A cell, or item type, without parcels in one period has no money per parcel there: its own of the other
period stands in, so that all of it counts as mix.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import comb
from typing import Any

import numpy as np
from numpy.typing import NDArray

from models.money import MONEY

Numbers = NDArray[np.float64]
VOLUME, ITEM_MIX, LANE_MIX = "parcels sent", "mix of item types", "mix of services and zones"
# The columns of each step with their signs; together they are the margin.
KINDS: Mapping[str, Mapping[str, int]] = {
    step: {each.column: each.sign for each in MONEY if each.step == step}
    for step in dict.fromkeys(each.step for each in MONEY)
}
# Only carriage has its price by service and zone; all else differs by item type, and a claim or a correction is too
# rare for one cell's mean to say anything of the next.
LANE_PRICED = np.array([kind in ("base price", "fuel", "surcharges") for kind in KINDS])
ACCOUNT = "charges without a parcel"
# First what a shop can act on or ask about, last what follows from what buyers ordered.
STEPS = (*KINDS, ACCOUNT, LANE_MIX, ITEM_MIX, VOLUME)
# A carrier sets its fuel surcharge, a state its tax, a marketplace its fee; buyers choose goods and places.
GIVEN = ("fuel", "tax and unknown charges", "marketplace fee", LANE_MIX, ITEM_MIX, VOLUME)


@dataclass(frozen=True)
class Cells:
    """Cells of two periods side by side. before, after: parcels. money: cells x kinds. items: each cell's item type."""

    items: NDArray[np.intp]
    item_types: Sequence[str]
    before: Numbers
    after: Numbers
    money_before: Numbers
    money_after: Numbers


@dataclass(frozen=True)
class _Factors:
    """What the margin of one period is the product of. shares: of item types; lanes: of each cell within its item type;
    money: cells x kinds, for one parcel."""

    parcels: float
    shares: Numbers
    lanes: Numbers
    money: Numbers


def parts_of(cells: Cells) -> Numbers:
    """Item types x STEPS, in cents, not yet rounded; nothing for the account step."""
    parts = np.zeros((len(cells.item_types), len(STEPS)))
    if not len(cells.items):
        return parts
    one, two = _factors(cells)
    found = {
        VOLUME: _worth(one, two, "parcels", two.parcels - one.parcels, cells).sum(axis=1),
        ITEM_MIX: _item_mix(one, two, cells),
        LANE_MIX: _worth(one, two, "lanes", two.lanes - one.lanes, cells).sum(axis=1),
    }
    kinds = _worth(one, two, "money", two.money - one.money, cells)
    for at, step in enumerate(STEPS):
        parts[:, at] = kinds[:, at] if step in KINDS else found.get(step, 0.0)
    return parts


def _worth(one: _Factors, two: _Factors, changed: str, change: Any, cells: Cells) -> Numbers:
    """Shapley value of one factor's change, item types x kinds. The product is linear in each factor, so what a change
    is worth beside given others is the product with the change in the factor's place."""
    others = [name for name in ("parcels", "shares", "lanes", "money") if name != changed]
    total = np.zeros((len(cells.item_types), len(KINDS)))
    for later in product((False, True), repeat=len(others)):
        chosen = {name: getattr(two if is_later else one, name) for name, is_later in zip(others, later, strict=True)}
        orders = 1.0 / ((len(others) + 1) * comb(len(others), sum(later)))
        total += orders * _margins(_Factors(**chosen, **{changed: change}), cells)
    return total


def _margins(factors: _Factors, cells: Cells) -> Numbers:
    """Item types x kinds."""
    sent = factors.parcels * factors.shares[cells.items] * factors.lanes
    return _by_item(sent[:, None] * factors.money, cells)


def _item_mix(one: _Factors, two: _Factors, cells: Cells) -> Numbers:
    """By item type: the share that it gained, times what its parcels bring beyond the average of both periods."""
    gained = two.shares - one.shares
    brings = _worth(one, two, "shares", np.ones(len(gained)), cells).sum(axis=1)
    return np.asarray(gained * (brings - brings @ (one.shares + two.shares) / 2.0), dtype=float)


def _factors(cells: Cells) -> tuple[_Factors, _Factors]:
    """Those of both periods; what one of them does not know is the other's."""
    counts = (cells.before, cells.after)
    by_item = tuple(_by_item(count, cells) for count in counts)
    sums = tuple(float(count.sum()) for count in counts)
    shares = _either(by_item, [np.full(len(item), total) for item, total in zip(by_item, sums, strict=True)])
    lanes = _either(counts, [item[cells.items] for item in by_item])
    money = (cells.money_before, cells.money_after)
    of_cells = _either(money, [count[:, None] for count in counts])
    of_items = _either([_by_item(each, cells) for each in money], [item[:, None] for item in by_item])
    usual = [np.where(LANE_PRICED, cell, item[cells.items]) for cell, item in zip(of_cells, of_items, strict=True)]
    one, two = (_Factors(*each) for each in zip(sums, shares, lanes, usual, strict=True))
    return one, two


def _either(amounts: Sequence[Numbers], counts: Sequence[Numbers]) -> tuple[Numbers, Numbers]:
    """Amounts over counts in both periods; where one counts nothing, the other's."""
    first, second = (amount / np.maximum(count, 1) for amount, count in zip(amounts, counts, strict=True))
    return np.where(counts[0] > 0, first, second), np.where(counts[1] > 0, second, first)


def _by_item(amounts: Numbers, cells: Cells) -> Numbers:
    """Sums over the cells of each item type. amounts: cells, or cells x kinds."""
    sums = np.zeros((len(cells.item_types), *amounts.shape[1:]))
    np.add.at(sums, cells.items, amounts)
    return sums
