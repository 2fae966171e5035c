"""A shop that packs as it is used to: goods, cartons, a carrier's list, and parcels of past and of later months.

Sides in inches, weights in pounds, money in cents. All is drawn from the number of the shop.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

Sides = tuple[float, float, float]

PAST, LATER = 15, 6
FIRST = date(2025, 1, 1)
BOARD = 0.15
CLEARANCE = 0.5
CUT_CENTS = 80
# Inches that the sides of a shop's cartons may be too long.
ROOM = ((0, 0, 0, 0, 1), (0, 0, 1, 1, 2), (0, 1, 1, 2, 3))


@dataclass(frozen=True)
class Goods:
    """An item type of one piece. a_month: parcels; season: swing of the year; growth: of a year, as a share."""

    name: str
    sides: Sides
    weight: float
    a_month: float
    season: float
    growth: float


@dataclass(frozen=True)
class Carton:
    """A size by its inside: length of the opening, width, height from flap to flap. lowest: least height when cut."""

    code: str
    inside: Sides
    cents: int
    lowest: int | None = None
    source: str = "stock"
    on_hand: int = 0

    @property
    def blank_in2(self) -> float:
        length, width, height = self.inside
        return 2 * (length + width) * (height + width)


@dataclass(frozen=True)
class Tariff:
    """by_pound: cents of a zone's first pound and of each further one. longest, around: inches of the longest side, and
    of length plus girth, beyond which a charge is due, with its cents. limit: of the longest side, beyond which nothing
    is carried."""

    by_pound: dict[str, tuple[int, int]]
    divisor: int
    longest: tuple[int, int]
    around: tuple[int, int]
    limit: int = 400


@dataclass(frozen=True)
class Parcel:
    """One parcel as the shop packs it by habit."""

    number: str
    day: date
    goods: Goods
    zone: str
    weight: float
    carton: Carton

    @property
    def month(self) -> date:
        return self.day.replace(day=1)


@dataclass(frozen=True)
class PlanShop:
    """fixed_cents: what it costs a month to stock a size; new_size_cents: once for a size that is new. board_lb: of a
    square inch of single-wall board, some 0.55 kg a square metre: a value from memory. other: the list of a second
    carrier, as fast everywhere, by which nothing was sent yet."""

    seed: int
    goods: tuple[Goods, ...]
    cartons: tuple[Carton, ...]
    offered: tuple[Carton, ...]
    tariff: Tariff
    parcels: tuple[Parcel, ...] = ()
    fixed_cents: int = 0
    new_size_cents: int = 6_000
    board_lb: float = 0.00078
    board_cents: Callable[[float], int] = field(default=lambda area: 1)
    other: Tariff | None = None

    @property
    def past(self) -> list[Parcel]:
        """What the program is told."""
        return [each for each in self.parcels if each.month < month(PAST)]

    @property
    def later(self) -> list[Parcel]:
        """What followed."""
        return [each for each in self.parcels if each.month >= month(PAST)]


def month(number: int) -> date:
    """The first day of the month so many after the first."""
    return date(FIRST.year + number // 12, 1 + number % 12, 1)


def needed(goods: Goods) -> Sides:
    """The least inside that holds a piece, longest side first."""
    first, second, third = sorted((side + 2 * CLEARANCE for side in goods.sides), reverse=True)
    return (first, second, third)


def holds(inside: Sides, goods: Goods) -> bool:
    """Whether a piece, turned as need be, lies in it with its clearance."""
    return all(need <= room + 1e-6 for need, room in zip(needed(goods), sorted(inside, reverse=True), strict=True))


def wasteful(seed: int) -> PlanShop:
    """A shop with cartons that are seldom right, and habits that are worse."""
    chance = random.Random(seed)
    goods = tuple(_goods(chance, number) for number in range(chance.randint(5, 14)))
    board = _board_price(chance)
    room, count = chance.choice(ROOM), len(goods)
    cartons = tuple(_roomy(chance, at, goods, board, room) for at in range(chance.randint(max(2, count - 3), count)))
    cartons = (*cartons, _large(goods, board))
    offered = tuple(
        replace(_roomy(chance, at, goods, board, room), code=f"V-{at}", source="supplier", lowest=None, on_hand=0)
        for at in range(chance.randint(0, 5))
    )
    shop = PlanShop(seed, goods, cartons, offered, _tariff(chance), fixed_cents=chance.choice((0, 500)))
    return _packed(replace(shop, board_cents=board), chance, _habits(chance, shop))


def content(seed: int) -> PlanShop:
    """A shop whose every carton is the least that holds its goods, and is used for them."""
    chance = random.Random(seed)
    goods = tuple(_goods(chance, number) for number in range(chance.randint(3, 6)))
    board = _board_price(chance)
    cartons = tuple(Carton(f"E-{n}", _standing(needed(each)), 0) for n, each in enumerate(goods))
    cartons = tuple(replace(each, cents=board(each.blank_in2)) for each in cartons)
    shop = PlanShop(seed, goods, cartons, (), _tariff(chance))
    habits: dict[str, tuple[Carton, ...]] = {each.name: (carton,) for each, carton in zip(goods, cartons, strict=True)}
    return _packed(replace(shop, board_cents=board), chance, habits)


def with_other_carrier(shop: PlanShop) -> PlanShop:
    """The same shop with the list of a second carrier: dearer or cheaper by zone, a divisor and charges of its own."""
    chance = random.Random(f"other {shop.seed}")
    zones = {
        zone: (round(first * chance.uniform(0.85, 1.2)), round(further * chance.uniform(0.7, 1.4)))
        for zone, (first, further) in shop.tariff.by_pound.items()
    }
    return replace(shop, other=replace(_tariff(chance), by_pound=zones))


def _standing(sides: Sides) -> Sides:
    """The sides as the inside of a carton that is cheap in board: the least side is its width."""
    return (sides[0], sides[2], sides[1])


def _goods(chance: random.Random, number: int) -> Goods:
    longest = chance.randint(6, 46)
    second = chance.randint(3, max(3, min(18, longest)))
    sides = (longest, second, chance.randint(3, second))
    weight = round(1 + math.prod(sides) * chance.uniform(0.002, 0.02), 1)
    swing, growth = chance.uniform(0, 0.3), chance.uniform(-0.2, 0.3)
    return Goods(f"goods {number}", sides, weight, chance.choice((2, 4, 8, 15, 30)), swing, growth)


def _board_price(chance: random.Random) -> Callable[[float], int]:
    fixed, cents = chance.randint(15, 50), chance.uniform(0.05, 0.14)
    return lambda area: round(fixed + cents * area)


def _roomy(
    chance: random.Random, number: int, goods: tuple[Goods, ...], board: Callable[[float], int], room: Sequence[int]
) -> Carton:
    first, second, third = needed(goods[number % len(goods)])
    grown = [side + chance.choice(room) for side in (first, second, third)]
    length, width, height = sorted(grown, reverse=True) if chance.random() < 0.6 else _standing_up(sorted(grown))
    on_hand = chance.choice((0, 20, 60, 150))
    carton = Carton(f"K-{number}", (length, width, height), 0, chance.choice((None, 4, 6)), on_hand=on_hand)
    return replace(carton, cents=board(carton.blank_in2))


def _standing_up(grown: list[float]) -> Sides:
    return (grown[1], grown[0], grown[2])


def _large(goods: tuple[Goods, ...], board: Callable[[float], int]) -> Carton:
    first, second, third = (max(sides) + 1 for sides in zip(*(needed(each) for each in goods), strict=True))
    carton = Carton("K-L", (first, second, third), 0, 6)
    return replace(carton, cents=board(carton.blank_in2))


def _tariff(chance: random.Random) -> Tariff:
    zones = {str(2 + 2 * n): (550 + 130 * n + chance.randint(0, 80), 28 + 9 * n) for n in range(chance.randint(2, 4))}
    longest, around = chance.choice((30, 36, 48)), chance.choice((70, 84, 105))
    return Tariff(zones, chance.choice((139, 166, 194)), (longest, 400), (around, 700))


def _habits(chance: random.Random, shop: PlanShop) -> dict[str, tuple[Carton, ...]]:
    """For each of the goods the cartons that are grasped for, the most usual first: any that holds them."""
    found: dict[str, tuple[Carton, ...]] = {}
    for each in shop.goods:
        fitting = sorted((c for c in shop.cartons if holds(c.inside, each)), key=lambda c: math.prod(c.inside))
        usual = chance.choice((*fitting[:1], *fitting[:2]))
        found[each.name] = (usual, usual, usual, chance.choice(fitting[:2]))
    return found


def _packed(shop: PlanShop, chance: random.Random, habits: dict[str, tuple[Carton, ...]]) -> PlanShop:
    parcels: list[Parcel] = []
    for number in range(PAST + LATER):
        first = month(number)
        for goods in shop.goods:
            phase = math.sin(2 * math.pi * (number + shop.seed % 12) / 12)
            mean = goods.a_month * (1 + goods.season * phase) * (1 + goods.growth * number / 12)
            for _ in range(max(0, round(chance.gauss(mean, math.sqrt(mean))))):
                parcels.append(_parcel(shop, chance, len(parcels), first, goods, habits))
    return replace(shop, parcels=tuple(parcels))


def _parcel(
    shop: PlanShop, chance: random.Random, number: int, first: date, goods: Goods, habits: dict[str, tuple[Carton, ...]]
) -> Parcel:
    carton = chance.choice(habits[goods.name])
    weight = goods.weight + 0.3 + 0.4 * chance.random()
    day = first + timedelta(days=chance.randrange(28))
    return Parcel(f"PL{number}", day, goods, chance.choice(list(shop.tariff.by_pound)), weight, carton)
