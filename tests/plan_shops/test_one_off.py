"""Shops that pack as they should but for a batch now and then in the first carton at hand: nothing is to be changed."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.plan_shops.advised import planned
from tests.plan_shops.tiny import tiny
from tests.plan_shops.trade import PAST, Carton, Parcel, PlanShop, month, needed
from tests.sampling import tries
from tests.shops import rows

BATCH, WEEKS = 60, 4
# A carton by how many inches it is larger than the goods need.
SIZES = (("SNUG", 0), ("LARGE", 12))


def habit(seed: int, batches: Sequence[date]) -> PlanShop:
    """Five parcels a week in a carton that is right; on each of the days a batch in one that is far too large."""
    drawn = tiny(seed)
    goods = drawn.goods[0]
    first, second, third = needed(goods)
    snug, large = (Carton(code, (first + room, second + room, third + room), 150) for code, room in SIZES)
    usual = [
        Parcel(f"P{number}-{at}", month(number) + timedelta(days=7 * (at % WEEKS) + 2), goods, "2", 3.5, snug)
        for number in range(PAST)
        for at in range(5 * WEEKS)
    ]
    rash = [Parcel(f"B{day}-{at}", day, goods, "2", 3.5, large) for day in batches for at in range(BATCH)]
    return replace(drawn, goods=(goods,), cartons=(snug, large), other=None, parcels=(*usual, *rash))


def drawn_day(chance: random.Random, number: int) -> date:
    return month(number) + timedelta(days=7 * chance.randrange(WEEKS) + 2)


def changes(shop: PlanShop) -> list[tuple[str, str]]:
    with planned(shop) as connection:
        found = rows(connection, "select * from analysis.actions where action_kind in ('carton', 'cut')")
    return [(row["carton_code"], row["best_carton_code"]) for row in found]


@pytest.mark.parametrize("seed", range(tries(24)))
def test_a_batch_in_one_week_of_the_months_held_out_is_not_advised_against(seed: int) -> None:
    chance = random.Random(f"one off {seed}")
    days = [drawn_day(chance, chance.randrange(PAST - 3)), drawn_day(chance, PAST - 1 - chance.randrange(3))]
    assert changes(habit(seed, days)) == []


def test_a_batch_in_every_week_is() -> None:
    days = [month(number) + timedelta(days=7 * week + 2) for number in range(PAST) for week in range(WEEKS)]
    assert changes(habit(0, days[::2])) == [("LARGE", "SNUG")]
