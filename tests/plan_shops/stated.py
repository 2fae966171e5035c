"""Shops that state all they can: tares, void fill, pairs wrapped together, cartons to slide into one another, a carton
that goes on under another code, and a price to come. The same parcels go out every month.

Sides in inches, weights in pounds, money in cents. All is drawn from the number of the shop.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from tests.plan_shops.trade import BOARD, CLEARANCE, PAST, Sides, Tariff, month

Row = dict[str, Any]
RENAMED_IN, PRICED_IN = 9, 6
STARTS = date(2024, 1, 1)
# Goods too long for any single carton lie in a case of the bench's own making, which is in no catalogue.
CASE, CASE_SIDES = "CASE", (66.0, 14.0, 13.0)


@dataclass(frozen=True)
class Box:
    """A size by its inside. prices: each with the first day on which it holds. renamed: the code under which it goes
    on from the month RENAMED_IN. overlap: of two slid into one another."""

    code: str
    inside: Sides
    prices: tuple[tuple[date, int], ...]
    tare: float
    renamed: str = ""
    overlap: float | None = None

    def code_on(self, day: date) -> str:
        """What the bench calls it."""
        return self.renamed if self.renamed and day >= month(RENAMED_IN) else self.code

    @property
    def today(self) -> str:
        return self.renamed or self.code


@dataclass(frozen=True)
class Stream:
    """Parcels alike: so many pieces of an item type in a box, None for the case, and what the goods weigh."""

    item: str
    pieces: int
    box: Box | None
    zone: str
    goods: float


@dataclass(frozen=True)
class StatedShop:
    """sides: of each item type; pair: of two trays nested. fill: cents and pounds of a cubic inch."""

    sides: dict[str, Sides]
    pair: Sides
    boxes: tuple[Box, ...]
    streams: tuple[Stream, ...]
    own: Tariff
    other: Tariff
    fill: tuple[float, float]

    def sent(self) -> Iterator[tuple[int, date, Stream]]:
        """Number, day and stream of every parcel."""
        for number in range(PAST):
            for at, stream in enumerate(self.streams):
                for week in range(4):
                    yield 1_000 * number + 10 * at + week, month(number) + timedelta(days=7 * week + at % 7), stream


def stated(seed: int) -> StatedShop:
    """Lamps and pairs of trays in boxes that are seldom right; poles that only two boxes slid into one another hold."""
    chance = random.Random(f"stated {seed}")
    lamp = (float(chance.randint(8, 14)), float(chance.randint(6, 8)), float(chance.randint(4, 6)))
    tray, nested = (18.0, 10.0, float(chance.randint(3, 5))), chance.randint(1, 2)
    sides: dict[str, Sides] = {"lamp": lamp, "tray": tray, "pole": (float(chance.randint(50, 56)), 5.0, 5.0)}
    boxes = (
        _box(chance, "SNUG", (lamp[0] + 1, lamp[1] + 1, lamp[2] + 1 + chance.randint(0, 1)), renamed="SNUG 2"),
        _box(chance, "NEST", (19.5, 11.5, tray[2] + nested + 1.5)),
        _box(chance, "PAIR", (20.0, 12.0, 2 * tray[2] + 2)),
        _box(chance, "TALL", (22.0, 16.0, float(chance.randint(14, 18)))),
        _box(chance, "POST", (8.0, 8.0, 40.0), overlap=float(chance.randint(8, 14))),
    )
    goods = (
        ("lamp", 1, boxes[3]),
        ("lamp", 1, boxes[0]),
        ("tray", 2, boxes[2]),
        ("tray", 2, boxes[3]),
        ("pole", 1, None),
    )
    streams = tuple(
        Stream(item, pieces, box, zone, chance.randint(4, 40) + 0.5)
        for item, pieces, box in goods
        for zone in ("2", "3")
    )
    own, other = (_tariff(chance) for _ in range(2))
    fill = chance.uniform(0.005, 0.05), chance.uniform(0.0002, 0.002)
    pair = (tray[0], tray[1], tray[2] + nested)
    return StatedShop(sides, pair, boxes, streams, own, other, fill)


def _box(chance: random.Random, code: str, inside: Sides, renamed: str = "", overlap: float | None = None) -> Box:
    """A price that rises once within the record, and one to come that would change everything."""
    first = chance.randint(60, 300)
    prices = (STARTS, first), (month(PRICED_IN), first + chance.randint(1, 40)), (date(2027, 1, 1), 5 * first)
    return Box(code, inside, prices, chance.randint(5, 40) / 10, renamed, overlap)


def _tariff(chance: random.Random) -> Tariff:
    zones = {zone: (chance.randint(500, 900), chance.randint(20, 60)) for zone in ("2", "3")}
    longest = chance.choice((24, 30, 48)), chance.randint(100, 900)
    return Tariff(zones, chance.choice((110, 139, 194)), longest, (chance.choice((70, 90)), chance.randint(0, 900)))


def entries(box: Box) -> Iterator[Row]:
    """Its rows of the catalogue: under today's code from the first day of that on, at the price that holds then."""
    for first, cents in box.prices:
        code = box.code_on(first)
        yield _entry(box, code, first, cents)
    if box.renamed:
        cents = max(each for each in box.prices if each[0] <= month(RENAMED_IN))[1]
        yield _entry(box, box.renamed, month(RENAMED_IN), cents)


def _entry(box: Box, code: str, first: date, cents: int) -> Row:
    inside = {f"inside_{name}_in": side for name, side in zip(("length", "width", "height"), box.inside, strict=True)}
    shown = {"carton_code": code, "effective_from": str(first), "board_in": BOARD, "unit_cost_cents": cents}
    more = {"tare_lb": box.tare, "is_cuttable": False, "telescope_overlap_in": box.overlap, "carton_style": "0201"}
    return {**shown, **inside, **more}


def item_types(shop: StatedShop) -> list[Row]:
    """One piece of each."""
    return [
        {"item_type": name, "length_in": one, "width_in": two, "height_in": three, "weight_lb": 3.0, "turns": "any"}
        for name, (one, two, three) in shop.sides.items()
    ]


def bundles(shop: StatedShop) -> list[Row]:
    """Two trays nested."""
    one, two, three = shop.pair
    return [
        {"item_type": "tray", "bundled_count": 2, "length_in": one, "width_in": two, "height_in": three, "turns": "any"}
    ]


METHODS = [{"packing_method": "wrap", "effective_from": "2024-01-01", "clearance_in": CLEARANCE}]
