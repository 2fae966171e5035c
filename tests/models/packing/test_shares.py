"""Conservative scales: what fits side by side still does by them, and no way that an arrangement has is lost."""

from __future__ import annotations

import random
from itertools import combinations_with_replacement

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.packing.fit import Effort, Verdict, fit
from models.packing.needed import MICRO, Contents, Piece, contents, shape
from models.packing.shares import MOST_SCALES, Narrowing, Shares, _scales
from tests.models.packing.goods import fits_on_grid, item
from tests.models.packing.test_search import in_micro, some_contents
from tests.models.packing.test_tight import forced
from tests.models.packing.tight import tight_set
from tests.sampling import tries


@settings(derandomize=True, deadline=None, max_examples=tries(60))
@given(st.lists(st.integers(1, 30), min_size=1, max_size=6, unique=True), st.integers(12, 30))
def test_what_lies_within_the_room_side_by_side_does_so_by_every_scale(sides: list[int], most: int) -> None:
    """The definition of a dual feasible function, for every multiset of up to six sides that the length holds."""
    within = np.array(sorted(side for side in sides if side <= most), dtype=np.int64)
    if not len(within):
        return
    scales = np.stack(list(_scales(within, most)))
    for count in range(1, 7):
        for chosen in combinations_with_replacement(range(len(within)), count):
            if within[list(chosen)].sum() <= most:
                assert (scales[:, list(chosen)].sum(axis=1) <= 1 + 1e-12).all()


def test_scales_by_hand() -> None:
    """Sides 2, 4, 5, 6, 9 of 10: in thirds by u(2), by U(4), and by f2 in units of 2."""
    sides = np.array([2, 4, 5, 6, 9], dtype=np.int64)
    found = [row.round(6).tolist() for row in _scales(sides, 10)]
    assert [0, 0.5, 0.5, 0.5, 1] in found
    assert [0, 0.4, 0.5, 0.6, 1] in found
    assert [0.2, 0.4, 0.5, 0.6, 1] in found


def single(packed: Contents) -> tuple[Piece, ...]:
    return tuple(shape(contents([(good, 1)]))[0][0] for good in packed.pieces)


@settings(derandomize=True, deadline=None, max_examples=tries(150))
@given(some_contents(), st.tuples(*[st.integers(1, 4)] * 3))
def test_a_way_that_is_ruled_out_is_in_no_arrangement(packed: Contents, inside: tuple[int, int, int]) -> None:
    pieces = single(packed)
    left = Narrowing(pieces, in_micro(inside)).ways
    if not all(left):
        assert not fits_on_grid(packed, inside)
        return
    goods = packed.pieces
    for number, good in enumerate(goods):
        others = [(other, 1) for at, other in enumerate(goods) if at != number]
        kept = {tuple(sorted(way[:2])) + way[2:] for way in left[number]}
        for length, width, height in {tuple(sorted(way[:2])) + way[2:] for way in pieces[number].ways} - kept:
            lying = contents([(forced(good, (length, width, height)), 1), *others])
            assert not fits_on_grid(lying, inside)


def test_scales_that_are_left_out_lose_a_proof_and_never_an_arrangement() -> None:
    """Two cubes of 6 beside two of 5 in 11 x 11 x 6 fit; of three cubes of 6 no two lie side by side along 11."""
    cube, small = item("cube", 6, 6, 6), item("small", 5, 5, 5)
    pieces = single(contents([(cube, 1), (small, 3)]))
    room = (11 * MICRO, 11 * MICRO, 6 * MICRO)
    shares = Shares([piece.ways for piece in pieces], room)
    assert all(shares.narrowed([piece.ways for piece in pieces]))
    larger = single(contents([(cube, 2), (small, 2)]))
    shares = Shares([piece.ways for piece in larger], room)
    assert not all(shares.narrowed([piece.ways for piece in larger]))
    assert len(shares.least(larger[0].ways)) <= MOST_SCALES**3


@pytest.mark.parametrize("seed", [600_026, 600_263])
def test_nearly_full_sets_are_refused_before_any_search(seed: int) -> None:
    asked = tight_set("bent", 9 + (seed - 600_000) // 3 % 4, random.Random(seed))
    assert fit(asked.packed, asked.inside_in, Effort(kept=0, steps=0)).verdict is Verdict.DOES_NOT_FIT
