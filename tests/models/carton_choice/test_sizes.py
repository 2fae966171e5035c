"""Sizes that come into question, and what each class costs in each of them: given rows, expected rows."""

from __future__ import annotations

import numpy as np
import pandas as pd

from models.carton_choice import offers
from models.carton_choice.sizes import INSIDE, SizeList, cost_table, size_list
from models.packing.needed import Contents, contents
from models.settings.cartons import Cartons
from models.shop_units import Units
from tests.models.carton_choice.catalogues import catalogue, entry
from tests.models.packing.goods import item

STOCK = catalogue(
    entry("A", (20, 10, 10), effective_before="2026-01-01", unit_cost_cents=100),
    entry(
        "A",
        (20, 10, 10),
        effective_from="2026-01-01",
        unit_cost_cents=140,
        stock_left=30,
        minimum_order=25,
        pack_quantity=5,
    ),
    entry("B", (12, 12, 12), unit_cost_cents=90),
)
NO_SUPPLIER = pd.DataFrame(columns=["size_code", *INSIDE, "unit_cost_cents", "pack_quantity"])


def listed(*packed: Contents, supplier: pd.DataFrame = NO_SUPPLIER) -> SizeList:
    return size_list(STOCK, supplier, packed, offers.making(STOCK), Cartons(), Units("USD"))


def test_a_stocked_size_has_its_latest_entry_and_comes_once() -> None:
    rows = listed(contents([(item("rod", 19, 2, 2), 1)], 0.5)).rows.set_index("size_code")
    assert rows.loc["A", "unit_cost_cents"] == 140
    assert [rows.loc["A", name] for name in ("stock_left", "minimum_order", "pack_quantity")] == [30, 25, 5]
    assert (rows.loc[["A", "B"], "size_source"] == "stock").all()


def test_a_new_size_is_what_the_goods_need_rounded_up_to_the_step() -> None:
    # 19.2 x 2.5 x 2 in and half an inch on every side: 20.2 x 3.5 x 3, so 21 x 4 x 3.
    found = listed(contents([(item("rod", 19.2, 2.5, 2), 1)], 0.5))
    new = found.rows[found.rows["size_source"] == "new"]
    assert new["size_code"].tolist() == ["new 21 x 4 x 3"]
    assert new[INSIDE].to_numpy(dtype=float).tolist() == [[21, 4, 3]]
    assert new["unit_cost_cents"].tolist() == [offers.making(STOCK).unit_cost_cents((21, 4, 3))]
    assert found.insides_in.tolist() == [[20, 10, 10], [12, 12, 12], [21, 4, 3]]


def test_upright_goods_get_a_size_that_stands() -> None:
    found = listed(contents([(item("post", 3, 3, 15, turns="upright"), 1)], 0.5))
    assert [4.0, 4.0, 16.0] in found.insides_in.tolist()


def test_a_suppliers_size_comes_after_the_stock_and_a_stocked_code_wins() -> None:
    supplier = pd.DataFrame(
        [("S", 30.0, 8.0, 8.0, 95, 20), ("B", 1.0, 1.0, 1.0, 1, 1)], columns=list(NO_SUPPLIER.columns)
    )
    rows = listed(supplier=supplier).rows
    assert rows["size_code"].tolist() == ["A", "B", "S"]
    assert rows["size_source"].tolist() == ["stock", "stock", "supplier"]
    assert rows["inside_length_in"].tolist() == [20, 12, 30]


def test_each_class_takes_the_cheapest_offer_of_a_size() -> None:
    prices = pd.DataFrame(
        [(1, 10, 700), (1, 11, 650), (1, 12, 900), (3, 12, 400), (3, 10, 400), (3, 11, 400)],
        columns=["class_key", "option_key", "price_cents"],
    )
    # Offers 10 and 11 are size 0, uncut and cut; offer 12 is size 2. Class 2 fits nothing, size 1 holds nothing.
    table = cost_table(prices, {10: 0, 11: 0, 12: 2}, classes=3, sizes=3)
    inf = np.inf
    assert table.cents.tolist() == [[650, inf, 900], [inf, inf, inf], [400, inf, 400]]
    assert table.option[0].tolist() == [11, -1, 12] and table.option[1].tolist() == [-1, -1, -1]
    assert table.option[2, 0] in (10, 11) and table.option[2, 2] == 12
