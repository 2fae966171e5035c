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
from models.actions.best_set import best_set, worth_of
from models.actions.joint import done_together, excludes


def action(cents: int, carton: str | None = "K-1", item: str = "tripod", plan: str = "", **more: Any) -> Action:
    """An action on the parcels of the item type in the carton; on all of them where carton is empty."""
    touched = None if carton is None else frozenset({(item, carton)})
    return replace(
        Action("carton", {}, 1.0, 1, "evidence", {(item, CARRIAGE): cents}, plan=plan, cartons=touched), **more
    )


Gains = dict[int, dict[int, float]]


def brute_force(worths: list[float], excluded: dict[int, frozenset[int]], gains: Gains | None = None) -> float:
    every = chain.from_iterable(combinations(range(len(worths)), count) for count in range(len(worths) + 1))
    free = (found for found in every if not any(other in excluded[at] for at, other in combinations(found, 2)))
    return max(worth_of(frozenset(found), worths, gains or {}) for found in free)


@pytest.mark.parametrize("seed", range(50))
def test_fifty_tiny_shops_get_the_set_that_trying_all_finds(seed: int) -> None:
    chance = random.Random(seed)
    count = chance.randint(1, 11)
    worths = [chance.choice((-40.0, 0.0, 5.0, 60.0, 61.0, 200.0, chance.uniform(1, 500))) for _ in range(count)]
    pairs = [pair for pair in combinations(range(count), 2) if chance.random() < chance.choice((0.1, 0.3, 0.6))]
    excluded = {at: frozenset(sum(pair) - at for pair in pairs if at in pair) for at in range(count)}
    found = best_set(frozenset(range(count)), worths, excluded)
    assert not any(other in excluded[at] for at in found for other in found)
    assert sum(worths[at] for at in found) == pytest.approx(brute_force(worths, excluded))


@pytest.mark.parametrize("seed", range(50))
def test_pairs_that_bring_more_or_less_together_get_the_set_that_trying_all_finds(seed: int) -> None:
    chance = random.Random(seed)
    count = chance.randint(2, 11)
    worths = [chance.choice((-40.0, 0.0, 60.0, chance.uniform(-100, 500))) for _ in range(count)]
    kinds = {pair: chance.random() for pair in combinations(range(count), 2)}
    excluded = {
        at: frozenset(sum(pair) - at for pair, kind in kinds.items() if at in pair and kind < 0.2)
        for at in range(count)
    }
    tied = {
        pair: chance.choice((-300.0, -60.0, 40.0, chance.uniform(-400, 400)))
        for pair, kind in kinds.items()
        if kind > 0.5
    }
    gains: Gains = {at: {sum(pair) - at: gain for pair, gain in tied.items() if at in pair} for at in range(count)}
    found = best_set(frozenset(range(count)), worths, excluded, gains)
    assert not any(other in excluded[at] for at in found for other in found)
    assert worth_of(found, worths, gains) == pytest.approx(brute_force(worths, excluded, gains))


def test_forty_rules_and_cartons_that_are_all_tied_are_settled_in_no_time() -> None:
    """Two halves of twenty, each pair losing a little: what is sure whatever else is done needs no branch."""
    halves = range(20), range(20, 40)
    gains = {at: dict.fromkeys(halves[at < 20], -4.0) for at in range(40)}
    worths = [100.0 + at for at in range(39)] + [3.0]
    found = best_set(frozenset(range(40)), worths, dict.fromkeys(range(40), frozenset()), gains)
    assert found == frozenset(range(39))


def test_the_greatest_alone_is_not_always_in_the_best_set() -> None:
    hub, others = action(100, carton="", plan="service"), [action(60, f"K-{at}", plan="stock") for at in (1, 2)]
    kept = done_together([hub, *others])
    assert [each.saving_cents for each in kept] == [60, 60]
    assert [list(each.other_ways) for each in kept] == [[hub], []]
    assert kept[0].other_month_cents == 100


OPENING = action(-10, carton=None, plan="sizes", replaces="stock", once_cost_cents=120)
PARTS = [action(cents, "", item, plan="sizes", is_part=True) for item, cents in (("tripod", 70), ("mount", 30))]


def test_a_plan_that_replaces_another_is_done_where_it_brings_more() -> None:
    beside = action(5, item="mount", carton="K-2", plan="sizes")
    stock = [action(30, plan="stock"), action(50, item="mount", plan="stock")]
    first, second = done_together([OPENING, *PARTS, beside, *stock])
    # By hand: 70 + 30 - 10 a month; the other plan would be 30 + 50, and 120 once are 10 a month.
    assert (first.month_cents, first.parcel_count) == ({("tripod", CARRIAGE): 60, ("mount", CARRIAGE): 30}, 3)
    assert (second, list(first.other_ways), first.other_month_cents) == (beside, stock[::-1], 80)
    better = action(20, item="lamp", plan="stock")
    kept = done_together([OPENING, *PARTS, beside, *stock, better])
    assert [each.saving_cents for each in kept] == [30, 50, 20]
    assert [len(each.other_ways) for each in kept] == [0, 1, 0]
    assert kept[1].other_month_cents == 70 + 30 + 5 - 10


def test_of_a_plan_that_replaces_another_only_the_part_that_another_action_betters_falls() -> None:
    service = action(90, carton="", plan="services")
    mount = replace(PARTS[1], month_cents={("mount", CARRIAGE): 60})
    opening, kept = done_together([OPENING, PARTS[0], mount, service])
    assert kept == service
    assert opening.month_cents == {("tripod", CARRIAGE): -10, ("mount", CARRIAGE): 60}


def test_what_it_costs_once_and_each_month_counts() -> None:
    dear = action(100, carton="", plan="service", once_cost_cents=300)
    stocked = action(100, carton="", plan="stock", stocking_cents=24)
    assert (dear.worth, stocked.worth) == (900, 912)
    assert done_together([dear, stocked])[0].plan == "stock"


def test_the_same_parcels_exclude_and_others_do_not() -> None:
    first = action(10, plan="a")
    assert excludes(first, action(10, plan="b"))
    assert excludes(first, action(10, carton="", plan="b"))
    assert excludes(first, action(10, carton=None, plan="b"))
    assert not excludes(first, action(10, carton="K-2", plan="b"))
    assert not excludes(first, action(10, item="mount", plan="b"))
    assert not excludes(first, action(10, plan="a"))
    assert not excludes(first, replace(action(10, plan="b"), month_cents={("tripod", PACKING): 9}, cartons=None))
    assert excludes(OPENING, action(10, item="mount", plan="stock"))
    assert not excludes(OPENING, action(10, item="mount", plan="services"))


ACTIONS = st.lists(
    st.builds(
        action,
        st.integers(-500, 90_000),
        st.sampled_from((None, "", "K-1", "K-2")),
        st.sampled_from(("tripod", "mount", "eyepiece")),
        st.sampled_from(("stock", "service", "miss 1", "miss 2")),
    ),
    max_size=9,
)


@settings(derandomize=True, deadline=None, max_examples=150)
@given(found=ACTIONS)
def test_no_two_of_the_plan_exclude_each_other_and_their_sum_is_the_most_there_is(found: list[Action]) -> None:
    kept = done_together(found)
    every = range(len(found))
    excluded = {at: frozenset(b for b in every if b != at and excludes(found[at], found[b])) for at in every}
    assert not any(excludes(one, other) for one, other in combinations(kept, 2))
    assert sum(each.worth for each in kept) == pytest.approx(brute_force([each.worth for each in found], excluded))
    assert sum(len(each.other_ways) for each in kept) <= len(found) - len(kept)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(found=ACTIONS, drawing=st.data())
def test_the_order_of_the_sources_changes_no_sum(found: list[Action], drawing: st.DataObject) -> None:
    order = drawing.draw(st.permutations(range(len(found))))
    sums = [sum(each.worth for each in done_together(each)) for each in (found, [found[at] for at in order])]
    assert sums[0] == pytest.approx(sums[1])
