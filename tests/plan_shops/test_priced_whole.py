"""Fifty tiny shops: the plan against all sets of its actions, each set priced whole in plain Python."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import chain, combinations

import pytest

from models.actions.action import Action
from models.actions.joint import done_together, excludes
from tests.plan_shops.advised import planned
from tests.plan_shops.tiny import candidates, month_savings, tiny
from tests.sampling import tries


def free_sets(found: Sequence[Action]) -> list[tuple[Action, ...]]:
    """Every set of the actions without two that exclude each other."""
    every = chain.from_iterable(combinations(found, count) for count in range(len(found) + 1))
    return [each for each in every if not any(excludes(one, other) for one, other in combinations(each, 2))]


def expected(chosen: Sequence[Action], saved: dict[int, int]) -> float:
    return sum(each.share_expected * saved[at] for at, each in enumerate(chosen))


@cache
def found_in(seed: int) -> list[Action]:
    with planned(tiny(seed)) as connection:
        return candidates(connection)


@pytest.mark.parametrize("seed", range(tries(50)))
def test_the_plan_is_the_best_set_and_its_amounts_are_those_of_the_plan_priced_whole(seed: int) -> None:
    shop, found = tiny(seed), found_in(seed)
    plan = done_together(found)
    whole = month_savings(shop, plan)
    assert [each.saving_cents for each in plan] == list(whole.values())
    best = max(expected(each, month_savings(shop, each)) for each in free_sets(found))
    assert expected(plan, whole) == pytest.approx(best, abs=1e-6)


def test_in_some_of_them_both_change_the_same_parcels_and_bring_other_than_their_sum() -> None:
    both = uneven = 0
    for seed in range(tries(50)):
        found = found_in(seed)
        plan = done_together(found)
        alone = {(each.evidence, each.action_kind): each.saving_cents for each in found}
        both += {each.action_kind for each in plan} > {"other service"}
        uneven += any(each.saving_cents != alone[each.evidence, each.action_kind] for each in plan)
    assert both and uneven
