"""A packing method of other room beside changes of carton and other services: the plan against all sets of actions of
tiny shops, each set priced whole in plain Python."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from models.actions.action import Action
from models.actions.joint import done_together
from tests.plan_shops.repacked import Priced, of_goods, repacked
from tests.plan_shops.test_priced_whole import free_sets
from tests.plan_shops.tiny import candidates, tiny
from tests.sampling import is_whole

SEEDS = range(50) if is_whole() else (1, 4, 6)
NO_ROOM = 0.0
# Each row, and what two of them bring together, is told in whole cents, rounded down; a method's by the year.
ROUNDED = 3


@cache
def found_in(seed: int, clearance_in: float, material_cents: int) -> list[Action]:
    """What may be done, all of it taken as certain, so that amounts are money alone."""
    with repacked(tiny(seed), clearance_in, material_cents) as connection:
        return [replace(each, confidence=1.0) for each in candidates(connection)]


def priced(seed: int, clearance_in: float, material_cents: int = 300) -> Iterator[tuple[list[Action], Priced]]:
    """The actions of each item type with their prices."""
    shop, found = tiny(seed), found_in(seed, clearance_in, material_cents)
    for goods in shop.goods:
        mine = of_goods(found, goods)
        yield mine, Priced(shop, goods, clearance_in, mine)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_plan_is_the_best_set_and_adds_up_to_the_plan_priced_whole(seed: int) -> None:
    for found, whole in priced(seed, NO_ROOM):
        plan = done_together(found)
        saved = whole.saved(plan)
        assert sum(each.saving_cents for each in plan) == pytest.approx(saved, abs=ROUNDED * len(found))
        assert saved >= max(map(whole.saved, free_sets(found))) - ROUNDED * len(found)


def test_either_or_would_bring_less() -> None:
    """The same actions, of which a method and a service for the same goods exclude each other."""
    together = apart = 0
    for seed in SEEDS:
        for found, whole in priced(seed, NO_ROOM):
            alone = [replace(each, joint_cents={}) if each.action_kind == "packing" else each for each in found]
            together += whole.saved(done_together(found))
            apart += whole.saved(done_together(alone))
    assert apart < 0.99 * together, apart / together
