"""What must stay empty beside a piece, and placements that leave next to nothing empty."""

from __future__ import annotations

import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.packing.bounds import all_pieces, fitting_ways, reason_against, usable_ways
from models.packing.fit import Effort, Verdict, fit, named
from models.packing.needed import MICRO, Contents, Micro, PackedItem, contents, room, shape
from models.packing.placement import faults
from models.packing.tight import tight_placement
from models.packing.waste import Lanes, narrowed, spare_volume
from tests.models.packing.goods import fits_on_grid, item
from tests.models.packing.test_search import in_micro, some_contents
from tests.models.packing.tight import KINDS, tight_set
from tests.sampling import tries


def placed_tightly(packed: Contents, inside: tuple[float, float, float]) -> bool:
    """Whether a placement is built with next to nothing left empty; it must stand the independent check."""
    space, lines = room(inside, packed.clearance_in), shape(packed)
    pieces = all_pieces(lines)
    places = tight_placement(pieces, usable_ways(pieces, space), space, 600)
    if places is None:
        return False
    numbers = [number for number, (_, quantity) in enumerate(lines) for _ in range(quantity)]
    placements = named(packed, [(number, *place) for number, place in zip(numbers, places, strict=True)])
    assert faults(placements, packed, inside) == []
    return True


@settings(derandomize=True, deadline=None, max_examples=tries(150))
@given(some_contents(), st.tuples(*[st.integers(1, 4)] * 3))
def test_tight_placements_are_placements(packed: Contents, room: tuple[int, int, int]) -> None:
    if not reason_against(shape(packed), in_micro(room)) and placed_tightly(packed, room):
        assert fits_on_grid(packed, room)


@pytest.mark.parametrize("pieces", [9, 10, 11, 12])
def test_what_is_cut_right_through_is_placed_tightly(pieces: int) -> None:
    for seed in range(10):
        cut = tight_set("cut through", pieces, random.Random(100 * pieces + seed))
        assert placed_tightly(cut.packed, cut.inside_in)


def test_alike_pieces_are_counted() -> None:
    """Three kinds, twelve pieces, nothing left empty; one more of any kind does not go in."""
    goods = [(item("slab", 4, 4, 1), 4), (item("rod", 4, 1, 1), 4), (item("cube", 2, 2, 2), 4)]
    assert placed_tightly(contents(goods), (4, 4, 7))
    for at in range(3):
        more = [(good, count + (number == at)) for number, (good, count) in enumerate(goods)]
        assert fit(contents(more), (4, 4, 7)).verdict is Verdict.DOES_NOT_FIT


def test_glass_is_built_on_top_in_a_full_room() -> None:
    glass = item("glass", 4, 4, 1, turns="flat", may_lie_under=False)
    goods = [(glass, 1), (item("slab", 4, 4, 1, turns="flat"), 2), (item("rod", 4, 1, 2, turns="upright"), 4)]
    assert placed_tightly(contents(goods), (4, 4, 5))
    assert not placed_tightly(contents([(glass, 2), (item("slab", 4, 4, 1, turns="flat"), 1)]), (4, 4, 3))


def waste_by_hand(side: int, sides: list[int], most: int) -> int:
    """The least that no choice of the other sides fills of what is left of `most`."""
    sums = {0}
    for other in sides:
        sums |= {value + other for value in sums}
    return min(most - side - value for value in sums if value <= most - side)


@settings(derandomize=True, deadline=None, max_examples=tries(100))
@given(st.lists(st.integers(2, 9), min_size=2, max_size=6), st.integers(9, 20))
def test_waste_beside_a_piece_is_what_no_sum_of_sides_fills(sides: list[int], most: int) -> None:
    """Bars along one axis, as wide and high as the room: all the waste lies along their length."""
    ways = [((side, 5, 7),) for side in sides]
    waste = Lanes(ways, (most, 5, 7)).waste(np.array([[sides[0], 5, 7]]))
    assert waste[0] == 35 * waste_by_hand(sides[0], sides, most)


def forced(good: PackedItem, way: Micro) -> PackedItem:
    """The item standing in one way only, up to a quarter turn about the vertical."""
    length, width, height = (side / MICRO for side in way)
    return item(good.item_type, length, width, height, turns="upright", may_lie_under=good.may_lie_under)


@settings(derandomize=True, deadline=None, max_examples=tries(150))
@given(some_contents(), st.tuples(*[st.integers(2, 4)] * 3))
def test_a_way_that_is_dropped_is_in_no_arrangement(packed: Contents, inside: tuple[int, int, int]) -> None:
    pieces = tuple(packed.pieces)
    shapes = tuple(piece for good in pieces for piece, _ in shape(contents([(good, 1)])))
    space = in_micro(inside)
    fitting = [fitting_ways(piece, space) for piece in shapes]
    if not all(fitting) or spare_volume(shapes, space) < 0:
        return
    kept = narrowed(fitting, space, spare_volume(shapes, space))
    for number, good in enumerate(pieces):
        gone = {tuple(sorted(way[:2])) + way[2:] for way in fitting[number]}
        gone -= {tuple(sorted(way[:2])) + way[2:] for way in kept[number]}
        for length, width, height in gone:
            others = [(other, 1) for at, other in enumerate(pieces) if at != number]
            assert not fits_on_grid(contents([(forced(good, (length, width, height)), 1), *others]), inside)


@pytest.mark.parametrize("kind", KINDS)
def test_nearly_full_cartons_are_answered_and_never_wrongly(kind: str) -> None:
    """Nine to twelve pieces, none to 5 % of slack, without any extra: at most one in ten stays open."""
    verdicts = []
    for number in range(8):
        asked = tight_set(kind, 9 + number % 4, random.Random(9_000 + number))
        answer = fit(asked.packed, asked.inside_in, Effort(steps=600))
        verdicts.append(answer.verdict)
        assert faults(answer.placements, asked.packed, asked.inside_in) == [] or answer.verdict is not Verdict.FITS
    if kind != "bent":
        assert Verdict.DOES_NOT_FIT not in verdicts
        assert verdicts.count(Verdict.UNDECIDED) <= 1
