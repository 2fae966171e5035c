"""Needed sizes, ways to stand, and contents as keys."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.errors import ContractError
from models.packing.needed import Contents, PackedItem, contents, needed_sizes, packed_item, shape, stands
from tests.models.packing.goods import item

TRIPOD = item("tripod", 44, 6, 6)
TUBE = item("optical tube", 30, 12, 14, turns="upright")
MIRROR = item("mirror", 10, 3, 10, turns="flat", may_lie_under=False)


def test_needed_size_is_the_sides_and_the_clearance_twice() -> None:
    assert needed_sizes(TRIPOD, 1.5) == ((47, 9, 9),)
    assert needed_sizes(TUBE, 1) == ((32, 14, 16),)
    assert needed_sizes(MIRROR, 0.5) == ((11, 11, 4),)


def test_pieces_stand_only_as_they_may() -> None:
    assert set(stands((3, 2, 1), "any")) == {(3, 2, 1), (2, 3, 1), (3, 1, 2), (1, 3, 2), (2, 1, 3), (1, 2, 3)}
    assert set(stands((1, 3, 2), "flat")) == {(3, 2, 1), (2, 3, 1)}
    assert set(stands((2, 1, 3), "upright")) == {(2, 1, 3), (1, 2, 3)}
    assert stands((2, 2, 2), "any") == ((2, 2, 2),)


def test_goods_that_must_not_stand_on_end_lie_on_either_long_side() -> None:
    assert set(stands((30, 12, 14), "not on end")) == {(30, 14, 12), (14, 30, 12), (30, 12, 14), (12, 30, 14)}
    assert needed_sizes(item("tube", 30, 12, 14, turns="not on end"), 1) == ((32, 16, 14), (32, 14, 16))
    # Two sides are longest: neither may stand. A cube has no end.
    assert set(stands((8, 8, 3), "not on end")) == {(8, 8, 3)}
    assert stands((2, 2, 2), "not on end") == ((2, 2, 2),)


def test_sides_that_may_be_vertical_are_named() -> None:
    assert {way[2] for way in stands((30, 12, 14), "height or width")} == {14, 12}
    assert {way[2] for way in stands((30, 12, 14), "length")} == {30}
    assert needed_sizes(item("lamp", 30, 12, 14, turns="width or length")) == ((30, 14, 12), (14, 12, 30))


@settings(derandomize=True, deadline=None, max_examples=100)
@given(st.permutations([(TRIPOD, 2), (TUBE, 1), (MIRROR, 3), (TRIPOD, 1)]))
def test_contents_are_the_same_in_any_order(lines: list[tuple[PackedItem, int]]) -> None:
    packed = contents(lines, 1.0)
    assert packed == contents([(MIRROR, 3), (TRIPOD, 3), (TUBE, 1)], 1.0)
    assert hash(packed) == hash(contents([(MIRROR, 3), (TRIPOD, 3), (TUBE, 1)], 1.0))
    assert packed.volume_in3 == 3 * 44 * 6 * 6 + 30 * 12 * 14 + 3 * 300
    assert len(packed.pieces) == 7


def test_clearance_is_part_of_the_contents() -> None:
    assert contents([(TRIPOD, 1)], 1.0) != contents([(TRIPOD, 1)], 1.5)


def test_item_types_alike_in_geometry_have_one_shape() -> None:
    other = item("spreader", 6, 44, 6)
    assert shape(contents([(TRIPOD, 1), (other, 2)])) == shape(contents([(TRIPOD, 3)]))
    assert shape(contents([(TRIPOD, 1)])) != shape(contents([(item("spreader", 6, 44, 6, may_lie_under=False), 1)]))


def test_pieces_of_one_volume_have_one_shape_however_their_item_types_are_named() -> None:
    one = contents([(item("a", 4, 3, 2), 1), (item("b", 6, 4, 1), 1)])
    other = contents([(item("b", 4, 3, 2), 1), (item("a", 6, 4, 1), 1)])
    assert shape(one) == shape(other)


@pytest.mark.parametrize(
    ("stated", "fragile", "expected"),
    [
        (True, True, True),
        (False, False, False),
        (None, True, False),
        (None, False, True),
        (None, None, True),
        (pd.NA, pd.NA, True),
        (np.nan, True, False),
    ],
)
def test_where_it_is_unknown_only_fragile_goods_may_not_lie_under(
    stated: object, fragile: object, expected: bool
) -> None:
    row = {"item_type": "eyepiece", "length_in": 5, "width_in": 3, "height_in": 3, "turns": "any"}
    found = packed_item({**row, "may_lie_under": stated, "is_fragile": fragile})
    assert found == item("eyepiece", 5, 3, 3, may_lie_under=expected)


def nothing_packed() -> Contents:
    return contents([])


@pytest.mark.parametrize(
    "mistake",
    [
        nothing_packed,
        lambda: contents([(TRIPOD, 0)]),
        lambda: contents([(TRIPOD, 1)], -0.1),
        lambda: contents([(TRIPOD, 1)], float("nan")),
        lambda: item("flat pack", 10, 0, 3),
        lambda: item("unmeasured", 10, float("nan"), 3),
        lambda: item("spinning", 10, 2, 3, turns="sideways"),
    ],
)
def test_what_cannot_be_packed_is_refused_in_words(mistake: object) -> None:
    assert callable(mistake)
    with pytest.raises(ContractError, match="Next: correct"):
        mistake()
