"""The best set of ways that do not exclude one another, against trying all; what excludes what."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import chain, combinations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.actions.action import CARRIAGE, PACKING, Action
from models.actions.joint import Way, best_set, done_together


def action(cents: int, item: str = "tripod", carton: str | None = "K-1", plan: str = "", **more: Any) -> Action:
    """An action on the parcels of the item type in the carton; on all of them where carton is empty."""
    touched = None if carton is None else frozenset({(item, carton)})
    return replace(
        Action("carton", {}, 1.0, 1, "evidence", {(item, CARRIAGE): cents}, plan=plan, cartons=touched), **more
    )


def brute_force(worths: list[float], excluded: dict[int, frozenset[int]]) -> float:
    every = chain.from_iterable(combinations(range(len(worths)), count) for count in range(len(worths) + 1))
    free = (found for found in every if not any(other in excluded[at] for at, other in combinations(found, 2)))
    return max(sum(worths[at] for at in found) for found in free)


@pytest.mark.parametrize("seed", range(50))
def test_fifty_tiny_shops_get_the_set_that_trying_all_finds(seed: int) -> None:
    chance = random.Random(seed)
    count = chance.randint(1, 11)
    worths = [chance.choice((-40.0, 0.0, 5.0, 60.0, 61.0, 200.0, chance.uniform(1, 500))) for _ in range(count)]
    pairs = [pair for pair in combinations(range(count), 2) if chance.random() < chance.choice((0.1, 0.3, 0.6))]
    excluded = {at: frozenset(sum(pair) - at for pair in pairs if at in pair) for at in range(count)}
    found = best_set(worths, excluded)
    assert not any(other in excluded[at] for at in found for other in found)
    assert sum(worths[at] for at in found) == pytest.approx(brute_force(worths, excluded))


def test_the_greatest_alone_is_not_always_in_the_best_set() -> None:
    hub, others = action(100, carton=None, plan="sizes"), [action(60, carton=f"K-{at}", plan="stock") for at in (1, 2)]
    kept = done_together([hub, *others])
    assert [each.saving_cents for each in kept] == [60, 60]
    assert [list(each.other_ways) for each in kept] == [[hub], []]
    assert kept[0].other_month_cents == 100


def test_what_goes_together_stays_or_falls_together() -> None:
    whole = [action(cents, carton=None, plan="sizes", is_whole=True) for cents in (70, 30)]
    assert done_together([*whole, action(90, plan="stock")])[:2] == [
        replace(whole[0], other_ways=[action(90, plan="stock")], other_month_cents=90),
        whole[1],
    ]
    assert done_together([*whole, action(101, plan="stock")])[0].other_month_cents == 100


def test_what_it_costs_once_and_each_month_counts() -> None:
    dear = action(100, carton="", plan="sizes", once_cost_cents=300)
    stocked = action(100, carton="", plan="stock", stocking_cents=24)
    assert (dear.worth, stocked.worth) == (900, 912)
    assert done_together([dear, stocked])[0].plan == "stock"


def test_the_same_parcels_exclude_and_others_do_not() -> None:
    first = Way((action(10, plan="a"),))
    assert first.excludes(Way((action(10, plan="b"),)))
    assert first.excludes(Way((action(10, carton="", plan="b"),)))
    assert first.excludes(Way((action(10, carton=None, plan="b"),)))
    assert not first.excludes(Way((action(10, carton="K-2", plan="b"),)))
    assert not first.excludes(Way((action(10, item="mount", plan="b"),)))
    assert not first.excludes(Way((action(10, plan="a"),)))
    assert not first.excludes(Way((replace(action(10, plan="b"), month_cents={("tripod", PACKING): 9}, cartons=None),)))


ACTIONS = st.lists(
    st.builds(
        action,
        st.integers(-500, 90_000),
        st.sampled_from(("tripod", "mount", "eyepiece")),
        st.sampled_from((None, "", "K-1", "K-2")),
        st.sampled_from(("stock", "service", "miss 1", "miss 2")),
    ),
    max_size=9,
)


@settings(derandomize=True, deadline=None, max_examples=150)
@given(found=ACTIONS)
def test_no_two_of_the_plan_exclude_each_other_and_their_sum_is_the_most_there_is(found: list[Action]) -> None:
    kept = done_together(found)
    ways = [Way((each,)) for each in found]
    excluded = {
        at: frozenset(b for b, other in enumerate(ways) if b != at and way.excludes(other))
        for at, way in enumerate(ways)
    }
    shown = [Way((each,)) for each in kept]
    assert not any(one.excludes(other) for one, other in combinations(shown, 2))
    assert sum(each.worth for each in kept) == pytest.approx(brute_force([way.worth for way in ways], excluded))
    named = sum(len(each.other_ways) for each in kept)
    assert named <= len(found) - len(kept)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(found=ACTIONS, drawing=st.data())
def test_the_order_of_the_sources_changes_no_sum(found: list[Action], drawing: st.DataObject) -> None:
    order = drawing.draw(st.permutations(range(len(found))))
    sums = [sum(each.worth for each in done_together(each)) for each in (found, [found[at] for at in order])]
    assert sums[0] == pytest.approx(sums[1])
