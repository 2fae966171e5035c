"""The independent check of placements finds every kind of fault, and the packing list reads well."""

from __future__ import annotations

from dataclasses import replace

import pytest

from models.packing.fit import fit
from models.packing.needed import Sides, contents
from models.packing.placement import Placement, faults, packing_list
from models.shop_units import Units
from tests.models.packing.goods import item

TRIPOD = item("tripod", 44, 6, 6)
MIRROR = item("mirror", 10, 10, 3, turns="flat", may_lie_under=False)
INSIDE: Sides = (48, 18, 12)
PACKED = contents([(TRIPOD, 1), (MIRROR, 1)], clearance_in=1.0)
GOOD = [Placement(TRIPOD, 1, 1, 1, (44, 6, 6)), Placement(MIRROR, 1, 7 + 1, 1, (10, 9 + 1, 3))]
# The mirror is 10 in wide from 8 to 18 in: the carton must be 19 in wide.
WIDE: Sides = (48, 19, 12)


def test_a_good_placement_has_no_faults() -> None:
    assert faults(GOOD, PACKED, WIDE) == []


@pytest.mark.parametrize(
    ("placed", "inside", "words"),
    [
        (GOOD, INSIDE, "too near a wall along the width"),
        ([replace(GOOD[0], left_in=0.5), GOOD[1]], WIDE, "too near a wall along the length"),
        ([replace(GOOD[0], bottom_in=5.5), GOOD[1]], WIDE, "too near a wall along the height"),
        ([GOOD[0], replace(GOOD[1], front_in=7.5)], WIDE, "closer than the clearance"),
        ([GOOD[0], replace(GOOD[1], sides_in=(3.0, 10.0, 10.0))], (48, 19, 14), "turned in a way"),
        ([replace(GOOD[0], sides_in=(44.0, 6.0, 5.0)), GOOD[1]], WIDE, "turned in a way"),
        ([GOOD[0]], WIDE, "not the pieces packed"),
        ([GOOD[0], GOOD[0]], WIDE, "not the pieces packed"),
        ([replace(GOOD[0], front_in=9, bottom_in=5), GOOD[1]], (48, 19, 12), "something lies above mirror"),
        # Also above at a distance, and reaching over it by a corner only.
        ([replace(GOOD[0], left_in=10, front_in=1, bottom_in=20), replace(GOOD[1], front_in=6)], (60, 19, 40), "above"),
    ],
)
def test_each_fault_is_found(placed: list[Placement], inside: Sides, words: str) -> None:
    assert any(words in fault for fault in faults(placed, PACKED, inside)), faults(placed, PACKED, inside)


def test_a_fragile_piece_may_lie_on_top() -> None:
    placed = [GOOD[0], replace(GOOD[1], front_in=1, bottom_in=8)]
    assert faults(placed, PACKED, (48, 19, 12)) == []


def test_packing_list_names_walls_and_distances() -> None:
    placed = [
        Placement(TRIPOD, 0, 6, 0, (44, 6, 6)),
        Placement(TRIPOD, 0, 0, 0, (44, 6, 6)),
        Placement(MIRROR, 17, 1, 6, (10, 10, 3)),
    ]
    assert packing_list(placed, Units("USD")) == [
        "1. tripod: 44 x 6 x 6 in at left, front, bottom",
        "2. tripod: 44 x 6 x 6 in at left, back, bottom",
        "3. mirror: 10 x 10 x 3 in at 17 in from the left, 1 in from the front, top",
    ]


def test_the_list_of_an_answer_holds_every_piece() -> None:
    answer = fit(PACKED, WIDE)
    lines = packing_list(answer.placements, Units("USD"))
    assert len(lines) == 2
    assert sum("tripod: 44 x 6 x 6 in" in line for line in lines) == 1
