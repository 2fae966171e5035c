"""Slice by slice: what fits is placed, nothing that fits is refused; by a search of every place and by construction."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.packing.bounds import all_pieces, fitting_ways
from models.packing.courses import Courses, Steps
from models.packing.fit import named
from models.packing.lifted import lifted
from models.packing.needed import Contents, Micro, Piece, room, shape
from models.packing.placement import faults
from models.packing.search import OutOfStepsError
from models.packing.shares import narrowing
from models.packing.slices import laid_along, laid_by_courses
from models.packing.stands import stands_along
from tests.models.packing.goods import fits_on_grid
from tests.models.packing.test_search import in_micro, some_contents
from tests.models.packing.tight import KINDS, TightSet, tight_set
from tests.sampling import tries

ENOUGH = 2_000_000


def standing(*each: tuple[Micro, ...]) -> list[Piece]:
    return [Piece(ways, bears=True) for ways in each]


def may_follow(pieces: list[Piece], space: Micro, most_steps: int = ENOUGH) -> bool:
    """Whether the pieces are not refused along the length."""
    try:
        return laid_along(pieces, space, 0, most_steps) is not None
    except OutOfStepsError:
        return True


@settings(derandomize=True, deadline=None, max_examples=tries(300))
@given(some_contents(), st.tuples(*[st.integers(1, 4)] * 3))
def test_courses_answer_as_a_search_of_every_place_does(packed: Contents, inside: tuple[int, int, int]) -> None:
    """Alike pieces, glass and every word for turning, along each axis."""
    lines, space = shape(packed), in_micro(inside)
    pieces, ways = all_pieces(lines), [fitting_ways(piece, space) for piece in all_pieces(lines)]
    numbers = [number for number, (_, quantity) in enumerate(lines) for _ in range(quantity)]
    usable = [Piece(each, piece.bears) for piece, each in zip(pieces, ways, strict=True)]
    for axis in range(3 if all(piece.bears for piece in pieces) else 2) if all(ways) else ():
        places = laid_along(usable, space, axis, ENOUGH)
        assert (places is not None) == fits_on_grid(packed, inside)
        if places is not None:
            placed = [(number, *place) for number, place in zip(numbers, places, strict=True)]
            assert faults(named(packed, placed), packed, inside) == []


@settings(derandomize=True, deadline=None, max_examples=tries(200))
@given(st.lists(st.tuples(st.integers(1, 4), st.integers(1, 3)), min_size=1, max_size=5), st.integers(3, 7))
def test_bars_in_a_lane_of_three_have_a_course_where_every_start_shows_one(
    bars: list[tuple[int, int]], length: int
) -> None:
    """Sides of 1 to 4 along the axis, faces of 1 to 3 of 3: by hand, every start on the inch is tried."""
    stands = stands_along([[(side, (face, 1))] for side, face in bars])
    found = Courses(stands, (length, 3), Steps(ENOUGH)).first()
    assert (found is not None) == started(bars, length, [0] * length)


def started(bars: list[tuple[int, int]], length: int, taken: list[int]) -> bool:
    """Whether the bars may start somewhere so that nowhere more than 3 is taken."""
    if not bars:
        return max(taken) <= 3
    (side, face), rest = bars[0], bars[1:]
    return any(
        started(rest, length, [each + face * (start <= at < start + side) for at, each in enumerate(taken)])
        for start in range(length - side + 1)
    )


def tight_pieces(asked: TightSet) -> tuple[tuple[Piece, ...], list[tuple[Micro, ...]], Micro]:
    space = room(asked.inside_in, asked.packed.clearance_in)
    pieces = lifted(all_pieces(shape(asked.packed)), space).pieces
    return pieces, list(narrowing(pieces, space).ways), space


@pytest.mark.parametrize("kind", KINDS[:2])
def test_what_was_cut_from_a_room_is_never_refused(kind: str) -> None:
    for number in range(tries(40)):
        pieces, ways, space = tight_pieces(tight_set(kind, 9 + number % 4, random.Random(30_000 + number)))
        try:
            assert laid_by_courses(pieces, ways, space, 20_000) is not None
        except OutOfStepsError:
            continue


@pytest.mark.parametrize(
    ("seed", "fits"), [(600_299, False), (600_335, False), (600_707, False), (600_746, False), (600_284, True)]
)
def test_sets_that_no_scale_tells_are_told_slice_by_slice(seed: int, fits: bool) -> None:
    pieces, ways, space = tight_pieces(tight_set("bent", 9 + (seed - 600_000) // 3 % 4, random.Random(seed)))
    assert all(ways)
    assert (laid_by_courses(pieces, ways, space, 60_000) is not None) == fits


def test_bars_as_wide_as_the_room_follow_one_another() -> None:
    """Along 10: 6 and 5 do not, 6 and 4 do."""
    assert not may_follow(standing(((6, 4, 1),), ((5, 4, 1),)), (10, 4, 1))
    assert may_follow(standing(((6, 4, 1),), ((4, 4, 1),)), (10, 4, 1))


def test_pieces_across_a_slice_must_lie_beside_one_another() -> None:
    """Three faces of 3 x 3 in 5 x 6 have little enough area and still do not lie beside one another; two do."""
    cube, space = ((3, 3, 3),), (3, 5, 6)
    assert may_follow(standing(cube, cube), space)
    assert not may_follow(standing(cube, cube, cube), space)
    assert may_follow(standing(cube, cube, cube), space, most_steps=0)


def test_where_a_piece_ends_nothing_needs_to_begin() -> None:
    """In 3 long and 3 wide, 1 x 1 and 2 x 2 begin together; where the short one ends, 1 x 3 cannot begin yet."""
    assert may_follow(standing(((1, 1, 1),), ((2, 2, 1),), ((1, 3, 1),)), (3, 3, 1))
    assert not may_follow(standing(((1, 2, 1),), ((2, 2, 1),), ((1, 3, 1),)), (3, 3, 1))


def test_waste_may_lie_in_both_halves_alike() -> None:
    """Two bars of 1 that cover 3 of 4, one after the other along 2: half of the waste lies in either half."""
    bar = ((1, 3, 1),)
    assert may_follow(standing(bar, bar), (2, 4, 1))
    assert not may_follow(standing(bar, bar, ((1, 2, 1),)), (2, 4, 1))
