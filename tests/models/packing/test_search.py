"""The exhaustive search and the bounds on their own, against a search of every place on the inch grid."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from models.packing.bounds import reason_against
from models.packing.needed import MICRO, Contents, Micro, PackedItem, contents, shape
from models.packing.search import Search
from tests.models.packing.goods import fits_on_grid, item

# Few kinds of goods, so that pieces that are alike and pieces that bear nothing come together often.
KINDS = [
    item("block", 2, 2, 1),
    item("rod", 3, 1, 1),
    item("plate", 3, 2, 1, turns="flat", may_lie_under=False),
    item("post", 1, 1, 2, turns="upright"),
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


@settings(derandomize=True, deadline=None, max_examples=200)
@given(some_contents(), st.tuples(*[st.integers(1, 4)] * 3))
def test_search_finds_what_there_is_and_nothing_else(packed: Contents, room: tuple[int, int, int]) -> None:
    assert searched(packed, room) == fits_on_grid(packed, room)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(some_contents(), st.tuples(*[st.integers(1, 4)] * 3))
def test_bounds_refuse_only_what_does_not_fit(packed: Contents, room: tuple[int, int, int]) -> None:
    if reason_against(shape(packed), in_micro(room)):
        assert not fits_on_grid(packed, room)


def test_glass_stands_beside_or_above_but_never_below() -> None:
    glass, lid = item("glass", 2, 2, 1, turns="flat", may_lie_under=False), item("lid", 2, 1, 1, turns="flat")
    assert searched(contents([(glass, 1), (lid, 2)]), (2, 2, 2))
    assert not searched(contents([(glass, 2)]), (2, 2, 2))
    assert searched(contents([(glass, 2)]), (4, 2, 1))


def test_three_rods_across_one_another_need_no_right_through_cut() -> None:
    rods: list[tuple[PackedItem, int]] = [(item("rod", 1, 1, 2), 3), (item("cube", 1, 1, 1), 2)]
    assert searched(contents(rods), (2, 2, 2))
    assert not searched(contents([*rods, (item("cube", 1, 1, 1), 1)]), (2, 2, 2))
