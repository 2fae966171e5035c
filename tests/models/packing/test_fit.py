"""Fit of several pieces: published packings, sets that fit by construction, and a grid search as referee."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import permutations
from math import prod
from unittest import mock

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.columns.goods import TURNED_SIDES, TURNS
from models.packing import fronts
from models.packing.bounds import all_pieces
from models.packing.fit import USUAL, Effort, Known, Verdict, fit
from models.packing.needed import Contents, PackedItem, Sides, contents, room, shape
from models.packing.placement import faults
from models.packing.search import WAY_STEPS, OutOfStepsError, Search
from tests.models.packing.goods import cut_carton, fits_on_grid, item
from tests.models.packing.tight import tight_set
from tests.sampling import tries


def bricks(count: int, *sides: float) -> Contents:
    return contents([(item("brick", *sides), count)])


@pytest.mark.published
def test_slothouber_graatsma_puzzle_is_solved() -> None:
    # E. R. Berlekamp, J. H. Conway, R. K. Guy, "Winning Ways for Your Mathematical Plays", 2nd ed., vol. 4 (2004):
    # six 1 x 2 x 2 and three 1 x 1 x 1 fill a 3 x 3 x 3 box, and the unit cubes lie along a body diagonal.
    packed = contents([(item("block", 2, 1, 2), 6), (item("cube", 1, 1, 1), 3)])
    answer = fit(packed, (3, 3, 3))
    assert answer.verdict is Verdict.FITS
    cubes = [
        tuple(round(s) for s in placed.start_in) for placed in answer.placements if placed.item.item_type == "cube"
    ]
    for axis in range(3):
        assert sorted(cube[axis] for cube in cubes) == [0, 1, 2]


@pytest.mark.published
def test_bricks_1_2_3_fill_the_flat_box_1_5_6() -> None:
    # N. G. de Bruijn, "Filling boxes with bricks", American Mathematical Monthly 76 (1969) 37-40: the figure shows it.
    assert fit(bricks(5, 1, 2, 3), (6, 5, 1)).verdict is Verdict.FITS


@pytest.mark.published
@pytest.mark.parametrize(
    ("count", "brick", "box"),
    [
        # The same paper's theorem: bricks whose sides divide one another fill a box only if all can lie parallel.
        (3, (1, 2, 4), (6, 2, 2)),
        (5, (1, 2, 2), (5, 4, 1)),
        (6, (1, 1, 2), (4, 3, 1)),
        (3, (1, 2, 2), (3, 2, 2)),
        (3, (1, 3, 3), (9, 3, 1)),
        (4, (1, 3, 3), (6, 6, 1)),
    ],
)
def test_harmonic_bricks_fill_a_box_only_in_parallel(count: int, brick: Sides, box: Sides) -> None:
    assert count * brick[0] * brick[1] * brick[2] == box[0] * box[1] * box[2]
    parallel = any(all(side % edge == 0 for side, edge in zip(box, way, strict=True)) for way in permutations(brick))
    assert fit(bricks(count, *brick), box).verdict == (Verdict.FITS if parallel else Verdict.DOES_NOT_FIT)


@pytest.mark.parametrize("pieces", range(2, 9))
def test_no_set_cut_from_a_carton_is_missed(pieces: int) -> None:
    chance = random.Random(pieces)
    for _ in range(43):
        packed, inside = cut_carton(pieces, chance)
        answer = fit(packed, inside)
        assert answer.verdict is Verdict.FITS, (packed, inside, answer.reason)
        assert faults(answer.placements, packed, inside) == []


def small_goods() -> st.SearchStrategy[PackedItem]:
    side = st.integers(1, 3)
    return st.builds(
        lambda length, width, height, turns, bears: item(
            f"{length}{width}{height}{turns}{bears}", length, width, height, turns=turns, may_lie_under=bears
        ),
        side, side, side, st.sampled_from(TURNS), st.booleans(),
    )  # fmt: skip


def small_contents() -> st.SearchStrategy[Contents]:
    return st.lists(small_goods(), min_size=1, max_size=4).map(lambda goods: contents([(good, 1) for good in goods]))


def small_rooms() -> st.SearchStrategy[tuple[int, int, int]]:
    return st.tuples(st.integers(2, 4), st.integers(1, 4), st.integers(1, 4))


@settings(derandomize=True, deadline=None, max_examples=tries(150))
@given(small_contents(), small_rooms())
def test_answers_are_those_of_a_search_of_every_place_on_the_grid(packed: Contents, room: tuple[int, int, int]) -> None:
    answer = fit(packed, room)
    assert answer.verdict == (Verdict.FITS if fits_on_grid(packed, room) else Verdict.DOES_NOT_FIT), answer.reason


@settings(derandomize=True, deadline=None, max_examples=tries(150))
@given(small_contents(), small_rooms(), st.randoms(use_true_random=False))
def test_turning_the_input_changes_nothing(packed: Contents, room: tuple[int, int, int], chance: random.Random) -> None:
    lines = [(_turned(good, chance), quantity) for good, quantity in packed.lines]
    chance.shuffle(lines)
    assert fit(contents(lines), room).verdict == fit(packed, room).verdict
    assert fit(packed, (room[1], room[0], room[2])).verdict == fit(packed, room).verdict


def _turned(good: PackedItem, chance: random.Random) -> PackedItem:
    sides = list(good.sides_in)
    if good.turns in TURNED_SIDES:
        return good
    turned = [*chance.sample(sides[:2], 2), sides[2]] if good.turns == "upright" else chance.sample(sides, 3)
    return item(good.item_type, *turned, turns=good.turns, may_lie_under=good.may_lie_under)


@settings(derandomize=True, deadline=None, max_examples=tries(150))
@given(small_contents(), small_rooms(), st.tuples(*[st.floats(0, 2)] * 3), st.sampled_from([0.0, 0.25]))
def test_a_bigger_carton_never_loses_a_fit(packed: Contents, room: Sides, more: Sides, clearance_in: float) -> None:
    packed = contents(packed.lines, clearance_in)
    if fit(packed, room).verdict is Verdict.FITS:
        larger = (room[0] + more[0], room[1] + more[1], room[2] + more[2])
        assert fit(packed, larger).verdict is Verdict.FITS


@pytest.mark.parametrize(
    ("goods", "inside", "words"),
    [
        ([(item("tripod", 44, 6, 6), 1)], (43.9, 12, 12), "a piece is larger"),
        ([(item("tube", 20, 8, 8), 2)], (24, 15, 12), "two of the pieces"),
        ([(item("cube", 4, 4, 4), 9)], (8, 8, 8), "more volume"),
        ([(item("mirror", 5, 5, 1, turns="flat", may_lie_under=False), 3)], (12, 5, 9), "more floor"),
    ],
)
def test_a_refusal_says_why(goods: list[tuple[PackedItem, int]], inside: Sides, words: str) -> None:
    answer = fit(contents(goods), inside)
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert words in answer.reason
    assert answer.placements == ()


def test_undecided_is_said_and_offers_no_placement() -> None:
    # By de Bruijn's theorem these nine bricks do not fill the box, but a short search cannot tell.
    answer = fit(bricks(9, 1, 2, 4), (6, 6, 2), Effort(steps=20))
    assert answer.verdict is Verdict.UNDECIDED
    assert "20 steps" in answer.reason
    assert answer.placements == ()


@pytest.mark.parametrize(("pieces", "kinds"), [(12, 3), (12, 10), (40, 1), (200, 10)])
def test_any_number_of_pieces_takes_a_bounded_number_of_joins(
    pieces: int, kinds: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    pairs, ways = 0, 0
    joined, blocks = fronts._Builder.joined, fronts._Builder._blocks

    def counted_joined(builder: fronts._Builder, some: list[tuple[fronts.Front, fronts.Front]]) -> fronts.Front:
        nonlocal pairs
        pairs += len(some)
        return joined(builder, some)

    def counted_blocks(
        builder: fronts._Builder, pair: tuple[fronts.Front, fronts.Front], number: int, volume: float
    ) -> Iterator[fronts.Rows]:
        nonlocal ways
        ways = max(ways, len(pair[0].sizes) * len(pair[1].sizes))
        return blocks(builder, pair, number, volume)

    monkeypatch.setattr(fronts._Builder, "joined", counted_joined)
    monkeypatch.setattr(fronts._Builder, "_blocks", counted_blocks)
    lines = [(item(f"kind {n}", 6 + n, 4 + n / 4, 3 + n / 8), pieces // kinds) for n in range(kinds)]
    assert fit(contents(lines), (90, 90, 90)).verdict is Verdict.FITS
    # Making fewer, larger sets takes a join for each halving of a quantity and each two kinds made one.
    assert 0 < pairs <= fronts.MOST_JOINS + kinds * (pieces.bit_length() + 1)
    assert 0 < ways <= USUAL.blocks**2


def test_the_search_ends_with_its_steps() -> None:
    asked = tight_set("bent", 9, random.Random(600_182))
    search = Search(all_pieces(shape(asked.packed)), room(asked.inside_in, 0.0), 200)
    with pytest.raises(OutOfStepsError):
        search.places()
    assert -1 - 6 * WAY_STEPS <= search.steps_left < 0


@st.composite
def block_sizes(draws: st.DrawFn) -> tuple[list[tuple[int, int, int]], int]:
    side = st.integers(1, draws(st.sampled_from([3, 12, 10**7])))
    return draws(st.lists(st.tuples(side, side, side), max_size=60)), draws(st.sampled_from([1, 2, 5, 40]))


@settings(derandomize=True, deadline=None, max_examples=tries(200))
@given(block_sizes(), st.sampled_from([1, 3, 7, 2_048]))
def test_the_least_blocks_are_those_that_none_is_within(
    drawn: tuple[list[tuple[int, int, int]], int], lot: int
) -> None:
    sizes, cap = drawn
    order = sorted(range(len(sizes)), key=lambda row: (prod(sizes[row]), row))
    expected: list[int] = []
    for row in order:
        if not any(all(a <= b for a, b in zip(sizes[kept], sizes[row], strict=True)) for kept in expected):
            expected.append(row)
    with mock.patch.object(fronts, "LOT", lot):
        found = fronts._least_rows(np.array(sizes, dtype=np.int64).reshape(-1, 3), cap)
    assert found.tolist() == expected[:cap]


def test_more_pieces_than_are_searched_are_undecided_or_built() -> None:
    assert fit(bricks(64, 1, 2, 4), (8, 8, 8)).verdict is Verdict.FITS
    # The same paper: a 6 x 6 x 6 box is not filled by 27 such bricks, which no search here can prove.
    assert fit(bricks(27, 1, 2, 4), (6, 6, 6)).verdict is Verdict.UNDECIDED
    assert fit(bricks(201, 1, 2, 4), (40, 40, 40)).verdict is Verdict.UNDECIDED
    assert fit(bricks(201, 1, 2, 4), (8, 8, 8)).verdict is Verdict.DOES_NOT_FIT


def test_metric_sides_are_not_lost_to_rounding() -> None:
    # Seven pieces of 11.8 cm in a carton of 82.6 cm, all through inches.
    packed = bricks(7, 11.8 / 2.54, 10 / 2.54, 10 / 2.54)
    assert fit(packed, (82.6 / 2.54, 10 / 2.54, 10 / 2.54)).verdict is Verdict.FITS
    assert fit(packed, (82.5 / 2.54, 10 / 2.54, 10 / 2.54)).verdict is Verdict.DOES_NOT_FIT


def test_clearance_lies_on_every_side_and_between_pieces() -> None:
    # Two pieces of 4 in with 1.5 in around and between: 4 + 4 + 3 x 1.5 = 12.5 in.
    packed = contents([(item("eyepiece case", 4, 4, 4), 2)], clearance_in=1.5)
    assert fit(packed, (12.5, 7, 7)).verdict is Verdict.FITS
    assert fit(packed, (12.49, 7, 7)).verdict is Verdict.DOES_NOT_FIT
    assert fit(packed, (12.5, 6.99, 7)).verdict is Verdict.DOES_NOT_FIT


def test_answers_are_kept_in_the_callers_dict() -> None:
    known = Known()
    first = fit(bricks(2, 1, 2, 4), (4, 2, 2), known=known)
    assert len(known) == 1
    again = fit(contents([(item("another name", 4, 2, 1), 2)]), (4, 2, 2), known=known)
    assert len(known) == 1
    assert again.verdict is first.verdict
    assert {placed.item.item_type for placed in again.placements} == {"another name"}
