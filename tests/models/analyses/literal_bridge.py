"""The bridge's definition read literally, in exact fractions: factors change one by one, in every order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from functools import cache
from itertools import permutations
from math import factorial
from typing import Any

from models.analyses.bridge import CELL
from models.analyses.bridge_steps import ACCOUNT, ITEM_MIX, KINDS, LANE_MIX, LANE_PRICED, STEPS, VOLUME

Cells = Sequence[Mapping[str, Any]]
Place = tuple[str, ...]
LANES = dict(zip(KINDS, LANE_PRICED, strict=True))


def margin(cells: Cells) -> int:
    return sum(sign * int(cell[name]) for cell in cells for signs in KINDS.values() for name, sign in signs.items())


class Pair:
    """Two periods: parcels by cell, signed cents by cell and kind, and the cents of cells without a parcel."""

    def __init__(self, before: Cells, after: Cells) -> None:
        self.parcels, self.money, self.loose = zip(*(_pooled(cells) for cells in (before, after)), strict=True)
        self.places = sorted({*self.parcels[0], *self.parcels[1]})
        self.counts = [sum(parcels.values()) for parcels in self.parcels]
        self.item = cache(self._item)
        self.share, self.lane, self.each = cache(self._share), cache(self._lane), cache(self._each)

    def value(self, kinds: Iterable[str], later: Iterable[str]) -> Fraction:
        """The margin of these kinds once the factors `later` are those of the later period."""
        changed = set(later)
        total = Fraction(0)
        for place in self.places:
            sent = self.share(place, ITEM_MIX in changed) * self.lane(place, LANE_MIX in changed)
            total += sent * sum(self.each(place, kind, kind in changed) for kind in kinds)
        return Fraction(self.counts[VOLUME in changed]) * total

    def averaged(self, kinds: Sequence[str]) -> dict[str, Fraction]:
        """Of these kinds and the three other factors: what each change adds, averaged over every order."""
        factors = (VOLUME, ITEM_MIX, LANE_MIX, *kinds)
        known: dict[frozenset[str], Fraction] = {}
        found = dict.fromkeys(factors, Fraction(0))
        for order in permutations(factors):
            for at, factor in enumerate(order):
                for sign, changed in ((1, frozenset(order[: at + 1])), (-1, frozenset(order[:at]))):
                    if changed not in known:
                        known[changed] = self.value(kinds, changed)
                    found[factor] += sign * known[changed]
        return {factor: total / factorial(len(factors)) for factor, total in found.items()}

    def _item(self, item: str, is_later: bool) -> int:
        return sum(count for place, count in self.parcels[is_later].items() if place[0] == item)

    def _share(self, place: Place, is_later: bool) -> Fraction:
        wanted = is_later if self.counts[is_later] else not is_later
        return Fraction(self.item(place[0], wanted), self.counts[wanted])

    def _lane(self, place: Place, is_later: bool) -> Fraction:
        wanted = is_later if self.item(place[0], is_later) else not is_later
        return Fraction(self.parcels[wanted][place], self.item(place[0], wanted))

    def _each(self, place: Place, kind: str, is_later: bool) -> Fraction:
        if LANES[kind]:
            wanted = is_later if self.parcels[is_later][place] else not is_later
            return Fraction(self.money[wanted][(*place, kind)], self.parcels[wanted][place])
        wanted = is_later if self.item(place[0], is_later) else not is_later
        cents = sum(cents for key, cents in self.money[wanted].items() if key[0] == place[0] and key[-1] == kind)
        return Fraction(cents, self.item(place[0], wanted))


def literal_steps(before: Cells, after: Cells) -> dict[str, Fraction]:
    """Every step, kind by kind."""
    pair = Pair(before, after)
    found = dict.fromkeys(STEPS, Fraction(0))
    found[ACCOUNT] = Fraction(pair.loose[1] - pair.loose[0])
    for kind in KINDS:
        for factor, cents in pair.averaged([kind]).items():
            found[factor] += cents
    return found


def _pooled(cells: Cells) -> tuple[Any, Any, int]:
    parcels: dict[Place, int] = defaultdict(int)
    for cell in cells:
        parcels[tuple(cell[name] for name in CELL)] += cell["parcel_count"]
    money: dict[Place, int] = defaultdict(int)
    loose = 0
    for cell in cells:
        place = tuple(cell[name] for name in CELL)
        for kind, signs in KINDS.items():
            amount = sum(sign * cell[name] for name, sign in signs.items())
            if parcels[place]:
                money[(*place, kind)] += amount
            else:
                loose += amount
    sent = defaultdict(int, {place: count for place, count in parcels.items() if count})
    return sent, money, loose
