"""The exhaustive search and the bounds: against a search of every place on the inch grid, and on pinwheels."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.packing.bounds import reason_against
from models.packing.fit import Verdict, fit
from models.packing.needed import MICRO, Contents, Micro, PackedItem, contents, shape
from models.packing.placement import faults
from models.packing.search import Search
from tests.models.packing import pinwheels
from tests.models.packing.goods import fits_on_grid, item
from tests.sampling import tries

# Few kinds of goods, so that pieces that are alike and pieces that bear nothing come together often.
KINDS = [
    item("block", 2, 2, 1),
    item("rod", 3, 1, 1),
    item("plate", 3, 2, 1, turns="flat", may_lie_under=False),
    item("post", 1, 1, 2, turns="upright"),
    item("tube", 3, 2, 1, turns="not on end"),
    item("case", 3, 1, 2, turns="height or length"),
    item("cube", 1, 1, 1),
    item("glass", 2, 1, 1, may_lie_under=False),
]


def some_contents() -> st.SearchStrategy[Contents]:
    return st.lists(st.sampled_from(KINDS), min_size=2, max_size=4).map(lambda goods: contents([(g, 1) for g in goods]))


def in_micro(room: tuple[int, int, int]) -> Micro:
    length, width, height = (side * MICRO for side in room)
    return (length, width, height)


def searched(packed: Contents, room: tuple[int, int, int]) -> bool:
    pieces = [piece for piece, quantity in shape(packed) for _ in range(quantity)]
    return Search(pieces, in_micro(room), most_steps=100_000).places() is not None


@settings(derandomize=True, deadline=None, max_examples=tries(70))
@given(some_contents(), st.tuples(*[st.integers(1, 4)] * 3))
def test_search_finds_what_there_is_and_nothing_else(packed: Contents, room: tuple[int, int, int]) -> None:
    assert searched(packed, room) == fits_on_grid(packed, room)


@settings(derandomize=True, deadline=None, max_examples=tries(200))
@given(some_contents(), st.tuples(*[st.integers(1, 4)] * 3))
def test_bounds_refuse_only_what_does_not_fit(packed: Contents, room: tuple[int, int, int]) -> None:
    if reason_against(shape(packed), in_micro(room)):
        assert not fits_on_grid(packed, room)


def test_alike_pieces_that_lose_every_way_end_the_search() -> None:
    flat = item("flat", 1, 1, 3, turns="flat")
    tall = item("tall", 1, 2, 3, turns="height or length", may_lie_under=False)
    packed = contents([(flat, 1), (tall, 2)])
    assert searched(packed, (4, 3, 4)) == fits_on_grid(packed, (4, 3, 4))


def test_glass_stands_beside_or_above_but_never_below() -> None:
    glass, lid = item("glass", 2, 2, 1, turns="flat", may_lie_under=False), item("lid", 2, 1, 1, turns="flat")
    assert searched(contents([(glass, 1), (lid, 2)]), (2, 2, 2))
    assert not searched(contents([(glass, 2)]), (2, 2, 2))
    assert searched(contents([(glass, 2)]), (4, 2, 1))


def test_three_rods_across_one_another_need_no_right_through_cut() -> None:
    rods: list[tuple[PackedItem, int]] = [(item("rod", 1, 1, 2), 3), (item("cube", 1, 1, 1), 2)]
    assert searched(contents(rods), (2, 2, 2))
    assert not searched(contents([*rods, (item("cube", 1, 1, 1), 1)]), (2, 2, 2))


def shown(packed: Contents, room: tuple[int, int, int]) -> str:
    """How the answer was come by, once it is a fit that stands the independent check."""
    answer = fit(packed, room)
    assert answer.verdict is Verdict.FITS, (packed, room, answer.reason)
    assert faults(answer.placements, packed, room) == []
    return answer.reason


@pytest.mark.parametrize("seed", range(40))
def test_flat_pinwheels_are_found(seed: int) -> None:
    chance = random.Random(seed)
    room, parts = pinwheels.random_flat(chance)
    for _ in range(3):
        shown(pinwheels.packed(parts, chance, chance.choice(["any", "upright"])), room)
        parts = pinwheels.halved(parts, chance)


@pytest.mark.parametrize("seed", range(40))
def test_solid_pinwheels_are_found(seed: int) -> None:
    chance = random.Random(seed)
    room, parts = pinwheels.random_solid(chance)
    shown(pinwheels.packed(parts, chance, chance.choice(["any", "upright"])), room)
    if max(room) > 2:
        shown(pinwheels.packed(pinwheels.halved(parts, chance), chance), room)


def test_most_pinwheels_need_the_search() -> None:
    """Else the two tests above would say nothing of it."""
    found = []
    for seed in range(40):
        chance = random.Random(seed)
        room, parts = pinwheels.random_flat(chance)
        found.append(shown(pinwheels.packed(parts, chance), room))
    assert sum("exhaustive" in reason for reason in found) >= 20


@pytest.mark.parametrize("height", [1, 3])
@pytest.mark.parametrize(("near", "far"), [((2, 3), (8, 7)), ((1, 2), (8, 8)), ((3, 3), (7, 8))])
def test_a_core_in_the_middle_of_a_pinwheel_is_found(height: int, near: tuple[int, int], far: tuple[int, int]) -> None:
    """The core lies about the middle of both sides, where looking at one half of the room still has to find it."""
    room = (10, 10, height)
    parts = pinwheels.flat(room, near, far)
    reason = shown(pinwheels.packed(parts, random.Random(1), "upright"), room)
    assert "exhaustive" in reason


def test_a_pinwheel_of_glass_keeps_its_order_from_below() -> None:
    """On a solid block lies a pinwheel of glass on which nothing may lie: it cannot lie underneath."""
    chance = random.Random(5)
    parts = pinwheels.flat((6, 6, 1), (1, 1), (5, 5))
    goods = [replace(good, may_lie_under=False) for good in pinwheels.packed(parts, chance, "upright").pieces]
    with_block = contents([*((good, 1) for good in goods), (item("block", 6, 6, 2, turns="upright"), 1)])
    assert "exhaustive" in shown(with_block, (6, 6, 3))
    placed = {each.item.item_type: each.bottom_in for each in fit(with_block, (6, 6, 3)).placements}
    assert placed.pop("block") == 0 and set(placed.values()) == {2}
