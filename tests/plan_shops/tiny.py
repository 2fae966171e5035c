"""Tiny shops that send the same every month, and what any set of their actions is worth, in plain Python."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import timedelta

from models.actions.action import Action
from models.actions.priced_together import priced_together
from models.analyses.actions import SOURCES, TOGETHER
from models.sql_texts import sql_texts
from pipelines.shop import warehouse
from tests.plan_shops.oracle import Way, cost, ways
from tests.plan_shops.trade import PAST, Carton, Goods, Parcel, PlanShop, Tariff, month

LOOKED_AT = ("cartons in stock", "services", "packing methods")


def tiny(seed: int) -> PlanShop:
    """One or two goods in two to four cartons, two zones, and a second carrier."""
    chance = random.Random(f"tiny {seed}")
    goods = tuple(_goods(chance, number) for number in range(chance.randint(1, 2)))
    cartons = tuple(_carton(chance, number, goods) for number in range(chance.randint(2, 4)))
    own, other = (_tariff(chance) for _ in range(2))
    prices = {
        zone: (first + chance.randint(-60, 60), other.by_pound[zone][1]) for zone, (first, _) in own.by_pound.items()
    }
    shop = PlanShop(seed, goods, cartons, (), own, board_lb=0.0, other=replace(other, by_pound=prices))
    return replace(shop, parcels=tuple(_parcels(shop, chance)))


def _goods(chance: random.Random, number: int) -> Goods:
    sides = sorted((float(chance.randint(4, 30)) for _ in range(3)), reverse=True)
    return Goods(f"goods {number}", (sides[0], sides[1], sides[2]), 1.0, 0, 0, 0)


def _carton(chance: random.Random, number: int, goods: Sequence[Goods]) -> Carton:
    """A carton that holds all of the goods, with more or less room."""
    grown = [max(sides) + 1 + chance.randint(0, 9) for sides in zip(*(each.sides for each in goods), strict=True)]
    width, length = sorted(grown[:2])
    return Carton(f"T-{number}", (length, width, grown[2]), chance.randint(60, 400), chance.choice((None, 4)))


def _tariff(chance: random.Random) -> Tariff:
    zones = {zone: (chance.randint(500, 900), chance.randint(20, 60)) for zone in ("2", "3")}
    longest = chance.choice((24, 30, 36)), chance.randint(100, 900)
    around = chance.choice((70, 90)), chance.randint(0, 900)
    return Tariff(zones, chance.choice((110, 139, 194)), longest, around)


def _parcels(shop: PlanShop, chance: random.Random) -> Iterator[Parcel]:
    """The same parcels on the same days of every month, at least one of each week."""
    sent = [
        (goods, zone, carton, chance.randint(1, 20) + 0.5)
        for goods in shop.goods
        for zone in shop.tariff.by_pound
        for carton in shop.cartons
        if chance.random() < 0.8
    ] or [(shop.goods[0], "2", shop.cartons[0], 3.5)]
    for number in range(PAST):
        for at, (goods, zone, carton, weight) in enumerate(sent):
            for week in range(4):
                day = month(number) + timedelta(days=7 * week + at % 7)
                yield Parcel(f"T{number}-{at}-{week}", day, goods, zone, weight, carton)


def candidates(connection: warehouse.Connection) -> list[Action]:
    """The changes of carton and the rules of services that the program found, before it chooses among them."""
    found: list[Action] = []
    for source in SOURCES:
        if source.name in LOOKED_AT:
            tables = [
                connection.execute(sql_texts("queries").get(name, f"select * from {name}")).df()
                for name in source.reads
            ]
            found += source.find(*tables)
    return priced_together(found, *(connection.execute(f"select * from {name}").df() for name in TOGETHER))


def month_savings(shop: PlanShop, chosen: Sequence[Action]) -> dict[int, int]:
    """Cents a month of each of the actions, by its place, all of them done: of two for the same parcel the one that
    alone brings less has what is left."""
    saved = dict.fromkeys(range(len(chosen)), 0)
    ranked = sorted(saved, key=lambda at: (chosen[at].worth, chosen[at].evidence), reverse=True)
    for parcel in (each for each in shop.past if each.month == month(PAST - 1)):
        mine = [at for at in ranked if _goes_by(chosen[at], parcel) or _is_changed(shop, chosen[at], parcel)]
        before = cost(shop, parcel, (parcel.carton, None))
        for count, at in enumerate(mine, start=1):
            after = priced(shop, parcel, [chosen[each] for each in mine[:count]])
            saved[at] += before - after
            before = after
    return saved


def carried_by(shop: PlanShop, parcel: Parcel, done: Sequence[Action]) -> Tariff | None:
    """The list of the service by which the parcel goes with the actions done."""
    return shop.other if any(_goes_by(each, parcel) for each in done) else shop.tariff


def priced(shop: PlanShop, parcel: Parcel, done: Sequence[Action]) -> int:
    """The parcel with the actions done: on the other service, in another carton, or both."""
    tariff = carried_by(shop, parcel, done)
    is_changed = any(_is_changed(shop, each, parcel) for each in done)
    return cost(shop, parcel, _best(shop, parcel) if is_changed else (parcel.carton, None), tariff)


def _goes_by(action: Action, parcel: Parcel) -> bool:
    facts: Mapping[str, str] = action.facts
    if action.action_kind != "other service" or facts["item_type"] != parcel.goods.name:
        return False
    return int(facts["zone_low"]) <= int(parcel.zone) <= int(facts["zone_high"])


def _best(shop: PlanShop, parcel: Parcel) -> Way:
    """The cheapest way from stock on the service used, of equal ones whole rather than cut, and the smaller carton."""
    found = ways(shop.cartons, parcel.goods)
    return min(found, key=lambda way: (cost(shop, parcel, way), way[1] is not None, _volume(way)))


def _volume(way: Way) -> float:
    length, width, height = way[0].inside
    return length * width * (way[1] or height)


def _is_changed(shop: PlanShop, action: Action, parcel: Parcel) -> bool:
    """Whether it is the change of carton of this parcel."""
    if action.action_kind not in ("carton", "cut"):
        return False
    best = _best(shop, parcel)
    named = (parcel.goods.name, parcel.carton.code, best[0].code)
    is_named = tuple(action.facts[name] for name in ("item_type", "carton_code", "best_carton_code")) == named
    is_cheaper = cost(shop, parcel, best) < cost(shop, parcel, (parcel.carton, None))
    return is_named and is_cheaper and (action.action_kind == "cut") == (best[1] is not None)
