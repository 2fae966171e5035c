"""What parcels cost in any carton, by the rules themselves in plain Python; the best set of sizes for a true demand."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import combinations

from tests.plan_shops.trade import BOARD, CUT_CENTS, Carton, Goods, Parcel, PlanShop, Sides, Tariff, holds, needed

MONTHS_OF_A_YEAR = 12
# To what inside height new sizes may be cut.
NEW_LOWEST = 5
Way = tuple[Carton, int | None]


def outside(inside: Sides, height: float | None = None) -> Sides:
    """Two boards on the opening, four on the height (style 0201), longest first."""
    length, width, full = inside
    grown = (length + 2 * BOARD, width + 2 * BOARD, (full if height is None else height) + 4 * BOARD)
    first, second, third = sorted(grown, reverse=True)
    return (first, second, third)


def carriage(tariff: Tariff, zone: str, sides: Sides, weight: float) -> int:
    """Cents: each side rounded up, the greater of scale and dimensional weight in whole pounds, and two charges."""
    whole = [math.ceil(round(side, 3)) for side in sides]
    pounds = max(1, math.ceil(round(weight, 3)), math.ceil(math.prod(whole) / tariff.divisor))
    first, further = tariff.by_pound[zone]
    cents = first + further * (pounds - 1)
    cents += tariff.longest[1] if whole[0] > tariff.longest[0] else 0
    return cents + (tariff.around[1] if whole[0] + 2 * (whole[1] + whole[2]) > tariff.around[0] else 0)


def cost(shop: PlanShop, parcel: Parcel, way: Way, tariff: Tariff | None = None) -> int:
    """Carriage, carton and cutting of the parcel in that carton, whole or cut to a height, by the shop's own list or
    another one."""
    carton, height = way
    weight = parcel.weight + shop.board_lb * carton.blank_in2
    sides = outside(carton.inside, height)
    cut = 0 if height is None else CUT_CENTS
    return carriage(tariff or shop.tariff, parcel.zone, sides, weight) + carton.cents + cut


def ways(cartons: Iterable[Carton], goods: Goods) -> list[Way]:
    """Every carton that holds the goods, whole and cut to the least whole inch that still does."""
    found: list[Way] = []
    for carton in cartons:
        if holds(carton.inside, goods):
            found.append((carton, None))
            length, width, height = carton.inside
            lower = range(carton.lowest or 0, math.ceil(height)) if carton.lowest else ()
            least = next((at for at in lower if holds((length, width, at), goods)), None)
            if least is not None:
                found.append((carton, least))
    return found


def least(shop: PlanShop, parcel: Parcel, cartons: Sequence[Carton]) -> int:
    """The parcel in the best of the cartons; as packed by habit where none holds it."""
    found = [cost(shop, parcel, way) for way in ways(cartons, parcel.goods)]
    return min(found, default=cost(shop, parcel, (parcel.carton, None)))


def spent(shop: PlanShop, parcels: Iterable[Parcel]) -> int:
    """All of them as packed by habit."""
    return sum(cost(shop, each, (each.carton, None)) for each in parcels)


def candidates(shop: PlanShop) -> list[Carton]:
    """Sizes that would hold some of the goods and nothing more, lying and standing, at the shop's price of board."""
    found = {}
    for count in range(1, len(shop.goods) + 1):
        for several in combinations(shop.goods, count):
            first, second, third = (
                math.ceil(max(sides)) for sides in zip(*(needed(each) for each in several), strict=True)
            )
            for inside in ((first, second, third), (first, third, second), (second, third, first)):
                made = Carton(f"new {inside}", inside, 0, NEW_LOWEST, "new")
                found[inside] = Carton(made.code, inside, shop.board_cents(made.blank_in2), NEW_LOWEST, "new")
    return [*shop.cartons, *shop.offered, *found.values()]


def stocking(shop: PlanShop, stocked: Iterable[Carton]) -> float:
    """Cents a month of having these sizes: their stocking, and over a year what new ones cost once and what is on hand
    of those that are no longer stocked."""
    kept = list(stocked)
    new = sum(each.source != "stock" for each in kept)
    left = sum(each.on_hand * each.cents for each in shop.cartons if each not in kept)
    return shop.fixed_cents * len(kept) + (shop.new_size_cents * new + left) / MONTHS_OF_A_YEAR


class Demand:
    """Parcels alike in goods, zone and whole pounds of either board are one class, with the price of each candidate."""

    def __init__(self, shop: PlanShop, parcels: Sequence[Parcel], months: int) -> None:
        self.shop, self.months = shop, months
        counted = Counter((each.goods.name, each.zone, math.ceil(each.weight * 8) / 8) for each in parcels)
        alike = {(each.goods.name, each.zone, math.ceil(each.weight * 8) / 8): each for each in parcels}
        self.sizes = candidates(shop)
        self.counts = list(counted.values())
        self.prices = [[self._price(alike[key], size) for size in self.sizes] for key in counted]

    def _price(self, parcel: Parcel, size: Carton) -> float:
        lists = [each for each in (self.shop.tariff, self.shop.other) if each]
        found = (cost(self.shop, parcel, way, each) for way in ways([size], parcel.goods) for each in lists)
        return min(found, default=math.inf)

    def month_cents(self, chosen: frozenset[int]) -> float:
        """Cost a month with these sizes in stock, with their stocking and a twelfth of taking them up."""
        carried = sum(
            count * min((row[at] for at in chosen), default=math.inf)
            for count, row in zip(self.counts, self.prices, strict=True)
        )
        return carried / self.months + stocking(self.shop, [self.sizes[at] for at in chosen])

    def best(self, most: int) -> frozenset[int]:
        """At most so many sizes by adding, dropping and exchanging until nothing helps, from today's stock."""
        now = frozenset(range(len(self.shop.cartons)))
        found, cents = now, self.month_cents(now)
        while True:
            tried = [each for each in self._near(found) if len(each) <= max(most, len(found) - 1)]
            better = min(tried, key=self.month_cents)
            if self.month_cents(better) >= cents and len(found) <= most:
                return found
            found, cents = better, self.month_cents(better)

    def _near(self, chosen: frozenset[int]) -> list[frozenset[int]]:
        others = [at for at in range(len(self.sizes)) if at not in chosen]
        dropped = [chosen - {at} for at in chosen]
        added = [chosen | {at} for at in others]
        return [*dropped, *added, *(fewer | {at} for fewer in dropped for at in others)]
