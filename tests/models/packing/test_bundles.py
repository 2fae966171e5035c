"""Pieces wrapped together: geometry by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from models.packing.bundles import variants
from models.packing.fit import Verdict, fit
from models.packing.needed import Bundle, Contents, PackedItem, contents
from models.packing.tables import fit_table, least_insides
from tests.models.packing.goods import item

# A pan with a handle: its box is 30 x 12 x 4 in, two head to tail are 34 x 12 x 5, three nested 34 x 12 x 6.
PAIR, THREE = Bundle(2, 34, 12, 5), Bundle(3, 34, 12, 6)
PAN = replace(item("pan", 30, 12, 4), bundles=(PAIR, THREE))
SINGLE = replace(PAN, bundles=())


def of(count: int, pan: PackedItem = PAN, clearance_in: float = 1.0) -> Contents:
    return contents([(pan, count)], clearance_in)


def lies(packed: Contents, *inside: float) -> bool:
    length, width, height = inside
    return fit(packed, (length, width, height)).verdict is Verdict.FITS


def test_a_pair_needs_its_own_sides_and_the_clearance_around_them() -> None:
    assert lies(of(2), 36, 14, 7)
    assert not any(lies(of(2), *inside) for inside in ((35.9, 14, 7), (36, 13.9, 7), (36, 14, 6.9)))
    # Box upon box, an inch between them: 32 x 14 x 11.
    assert lies(of(2), 32, 14, 11) and lies(of(2, SINGLE), 32, 14, 11) and not lies(of(2, SINGLE), 36, 14, 7)


def test_what_is_left_over_lies_beside_the_bundles() -> None:
    # Four are three and one: 6 and 4 in high, with an inch between and around them.
    assert lies(of(4), 36, 14, 13) and not lies(of(4), 36, 14, 12.9)
    # Five are three and a pair.
    assert lies(of(5), 36, 14, 14) and not lies(of(5), 36, 14, 13.9)


def test_the_placement_is_that_of_the_bundle() -> None:
    (placed,) = fit(of(3), (36.0, 14.0, 8.0)).placements
    assert placed.item.item_type == "3 pan wrapped together" and placed.start_in == pytest.approx((1, 1, 1), abs=1e-3)


def test_a_bundle_may_be_turned_only_as_stated_and_bears_what_its_pieces_bear() -> None:
    upright = replace(PAN, bundles=(replace(PAIR, turns="upright"),))
    assert lies(of(2), 14, 7, 36) and not lies(of(2, upright), 14, 7, 36)
    ((bundle, _),) = variants(of(2, replace(PAN, may_lie_under=False)))[0].lines
    assert not bundle.may_lie_under


def test_a_learned_bundle_needs_the_inside_that_held_it_and_no_less() -> None:
    learned = replace(PAN, bundles=(Bundle(2, 37, 15, 8, "upright", 1.0),))
    assert lies(of(2, learned), 37, 15, 8) and lies(of(2, learned), 15, 37, 8)
    assert not any(lies(of(2, learned), *inside) for inside in ((36.9, 15, 8), (37, 14.9, 8), (37, 15, 7.9)))
    # Less clearance proves nothing of a smaller inside, more clearance nothing at all.
    assert lies(of(2, learned, 0.5), 37, 15, 8) and not lies(of(2, learned, 0.5), 36.9, 15, 7.9)
    assert not lies(of(2, learned, 1.5), 37, 15, 8)


def test_a_table_of_fits_says_the_same() -> None:
    insides = [(36, 14, 7), (35.9, 14, 7), (32, 14, 11), (32, 14, 10.9), (36, 14, 8)]
    many = [of(2), of(2, SINGLE), of(3)]
    table = fit_table(many, insides)
    assert table.tolist() == [[int(lies(packed, *inside)) for inside in insides] for packed in many]
    assert table[0].tolist() == [1, 0, 1, 0, 1]


def test_least_insides_know_bundles() -> None:
    sides = {tuple(row) for row in np.round(least_insides(of(2), (60, 60, 60)), 6).tolist()}
    assert {(36.0, 14.0, 7.0), (32.0, 14.0, 11.0)} <= sides
    assert not any(length >= 36 and width >= 14 and height > 7 for length, width, height in sides)


def test_goods_without_bundles_have_no_other_way() -> None:
    assert variants(of(4, SINGLE)) == () and variants(of(1)) == ()
