"""Void fill, reckoned by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from models.carton_choice.void_fill import filled_in3, stated_fill, void_in3, with_void_fill
from models.packing.needed import Bundle, contents
from models.settings.cartons import Cartons
from tests.models.packing.goods import item

# 10 x 4 x 4 and 3 x 3 x 3 in, an inch clear of walls and of one another.
PACKED = contents([(item("rod", 10, 4, 4), 1), (item("cube", 3, 3, 3), 2)], 1.0)


def test_the_room_left_is_what_goods_and_clearance_do_not_take() -> None:
    assert filled_in3(PACKED) == 11 * 5 * 5 + 2 * 4**3 == 403
    # Inside 13 x 7 x 12: 12 x 6 x 11 for goods with half a clearance on every side.
    assert void_in3(PACKED, np.array([[13.0, 7.0, 12.0]])).tolist() == [12 * 6 * 11 - 403]


def test_a_carton_that_closes_on_its_goods_takes_none() -> None:
    alone = contents([(item("rod", 10, 4, 4), 1)], 1.0)
    assert void_in3(alone, np.array([[12.0, 6.0, 6.0], [12.0, 6.0, 7.0]])).tolist() == [0, 11 * 5]


def test_pieces_wrapped_together_take_the_room_of_their_bundle() -> None:
    nested = replace(item("tray", 20, 12, 4), bundles=(Bundle(2, 20, 12, 5),))
    # A pair of 20 x 12 x 5 in, an inch clear, and beside it a single one of 4 in.
    assert filled_in3(contents([(nested, 3)], 1.0)) == 21 * 13 * 6 + 21 * 13 * 5
    # Wrapped with more room than two single ones take, they are not.
    loose = replace(nested, bundles=(Bundle(2, 20, 12, 11),))
    assert filled_in3(contents([(loose, 2)], 1.0)) == 2 * 21 * 13 * 5


def test_price_and_weight_are_those_stated_by_the_cubic_foot() -> None:
    fill = stated_fill(Cartons(void_fill_cents_per_ft3=1728, void_fill_lb_per_ft3=17.28))
    pairs = pd.DataFrame({"contents_key": [7, 7], "option_key": [1, 0]})
    found = with_void_fill(pairs, {7: PACKED}, np.array([[13.0, 7.0, 12.0], [14.0, 7.0, 12.0]]), fill)
    assert found["void_cents"].tolist() == [13 * 6 * 11 - 403, 12 * 6 * 11 - 403]
    assert found["void_lb"].tolist() == pytest.approx([4.55, 3.89])
    none = with_void_fill(pairs, {}, np.zeros((2, 3)), stated_fill(Cartons()))
    assert (none[["void_cents", "void_lb"]] == 0).all(axis=None)
