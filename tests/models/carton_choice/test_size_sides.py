"""Sides of new sizes: each from its own side of the need, and none where a stocked size is just that."""

from __future__ import annotations

import pandas as pd

from models.carton_choice import offers
from models.carton_choice.sizes import size_list
from models.packing.needed import contents
from models.settings.cartons import Cartons
from models.shop_units import Units
from tests.models.carton_choice.catalogues import catalogue, entry
from tests.models.carton_choice.test_sizes import NO_SUPPLIER, listed
from tests.models.packing.goods import item


def test_goods_packed_together_get_a_size_of_three_different_sides() -> None:
    together = contents([(item("tube", 20, 5, 4), 1), (item("box", 20, 5, 2), 1)], 0.0)
    new = [tuple(row) for row in listed(together).insides_in.tolist()[2:]]
    # Beside each other 20 x 10 x 4, on each other 20 x 6 x 5; standing on edge 20 x 5 x 6 is the same.
    assert (20, 6, 5) in new
    assert all(len({*row}) == 3 or row == (20, 10, 4) for row in new)


def test_a_stocked_size_in_any_order_of_its_sides_is_no_new_one() -> None:
    stock = catalogue(entry("A", (21, 3, 4)))
    packed = [contents([(item("rod", 20, 3, 2), 1)], 0.5)]
    rows = size_list(stock, NO_SUPPLIER, packed, offers.making(stock), Cartons(), Units("USD")).rows
    assert isinstance(rows, pd.DataFrame)
    assert rows["size_code"].tolist() == ["A"]
