"""The same parcels in every packing method: only cartons that hold the goods, the cheapest of them, alike for all."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.analyses import repacking
from models.carton_choice.void_fill import VoidFill
from models.packing.fit import Verdict, fit
from models.packing.needed import contents, packed_item
from models.tables import TABLES
from tests.sampling import tries

ITEM = {"item_type": "tripod", "length_in": 20.0, "width_in": 6.0, "height_in": 5.0, "weight_lb": 9.0, "turns": "any"}
ITEMS = {"tripod": packed_item(ITEM)}
METHODS = pd.DataFrame(
    [
        {"packing_method": "paper", "clearance_in": 1.0},
        {"packing_method": "straw", "clearance_in": 1.0},
        {"packing_method": "foam", "clearance_in": 1.5},
    ]
)
NO_CUT: dict[str, Any] = {"is_cuttable": False, "minimum_height_in": None, "board_in": 0.16, "tare_lb": None}


def carton(code: str, sides: tuple[float, float, float], cents: int, **more: Any) -> dict[str, Any]:
    names = ("length_in", "width_in", "height_in")
    inside = {f"inside_{name}": side for name, side in zip(names, sides, strict=True)}
    outside = {f"outside_{name}": side + 0.5 for name, side in zip(names, sides, strict=True)}
    return {"carton_code": code, "unit_cost_cents": cents, **inside, **outside, **NO_CUT, **more}


def parcel(name: str, pieces: int = 1) -> dict[str, Any]:
    return {
        "parcel_id": name,
        "item_type": "tripod",
        "piece_count": pieces,
        "carrier": "Northline",
        "service": "ground",
    } | {
        "zone": "5",
        "shipped_on": pd.Timestamp("2026-10-05"),
        "scale_weight_lb": 10.0 * pieces,
        "packed_weight_lb": 9.0 * pieces,
        "is_residential": True,
        "destination_prefix": "597",
        "declared_value_cents": None,
        **dict.fromkeys(("used_tare_lb", "used_length_in", "used_width_in", "used_height_in", "used_clearance_in")),
    }


def offered(
    cartons: list[dict[str, Any]], *parcels: dict[str, Any], cut_cents: int = 0, fill: VoidFill | None = None
) -> pd.DataFrame:
    stocked = repacking.stock(pd.DataFrame(cartons), cut_cents)
    return repacking.offers(pd.DataFrame(parcels), ITEMS, METHODS, stocked, fill or VoidFill())


SNUG, ROOMY = carton("SNUG", (22, 8, 7), 200), carton("ROOMY", (23, 9, 8), 260)


def test_each_method_gets_the_cheapest_carton_that_holds_the_goods_with_its_clearance() -> None:
    offers = offered([SNUG, ROOMY, carton("LONG", (60, 9, 8), 250)], parcel("P1"))
    postage = offers["length_in"].mul(10).astype("Int64")
    found = repacking.cheapest(offers.assign(postage_cents=postage), METHODS).set_index("packing_method")
    assert dict(found["carton_code"]) == {"foam": "ROOMY", "paper": "SNUG", "straw": "SNUG"}
    assert list(found.loc["foam", ["carton_cents", "postage_cents"]]) == [260, 235]
    assert (found["cut_and_fill_cents"] == 0).all()


def test_cutting_is_paid_for() -> None:
    tall = carton("TALL", (22, 8, 12), 200, is_cuttable=True, minimum_height_in=4)
    offers = offered([tall], parcel("P1"), cut_cents=80)
    found = repacking.cheapest(offers.assign(postage_cents=offers["width_in"].mul(10).astype("Int64")), METHODS)
    # Cut, its second side is the width of 8.5 in instead of the height of 12.5 in: 80 for the cut, 40 of postage less.
    assert set(offers["cut_and_fill_cents"]) == {0, 80}
    assert found["cut_height_in"].isna().all() and (found["cut_and_fill_cents"] == 0).all()
    found = repacking.cheapest(offers.assign(postage_cents=offers["width_in"].mul(40).astype("Int64")), METHODS)
    assert set(found["cut_and_fill_cents"]) == {80}


def test_void_fill_is_what_the_methods_own_clearance_leaves() -> None:
    used = {"used_length_in": 30, "used_width_in": 10, "used_height_in": 9, "used_clearance_in": 1}
    offers = offered([ROOMY], parcel("P1") | used, fill=VoidFill(0.5, 0.001)).set_index("clearance_in")
    # 23 x 9 x 8 in inside and 20 x 6 x 5 in of goods; half a cent and a thousandth of a pound for a cubic inch.
    thin, thick = 22 * 8 * 7 - 21 * 7 * 6, 21.5 * 7.5 * 6.5 - 21.5 * 7.5 * 6.5
    assert offers["cut_and_fill_cents"].to_dict() == {1.0: round(thin / 2), 1.5: round(thick / 2)}
    assert offers["void_lb"].to_dict() == pytest.approx({1.0: thin / 1000, 1.5: thick / 1000})
    assert offers["used_void_lb"].tolist() == pytest.approx([(29 * 9 * 8 - 21 * 7 * 6) / 1000] * 2)


def test_of_a_carton_without_stated_sides_no_fill_is_taken_off() -> None:
    offers = offered([ROOMY], parcel("P1"), fill=VoidFill(0.5, 0.001))
    assert (offers["used_void_lb"] == 0).all() and offers["used_tare_lb"].isna().all()


def test_a_heavier_carton_does_not_beat_a_lighter_one() -> None:
    light, heavy = SNUG | {"tare_lb": 1.0}, carton("HEAVY", (21.9, 7.9, 6.9), 190, tare_lb=2.0)
    thin = METHODS.assign(clearance_in=0.5)
    stocked = repacking.stock(pd.DataFrame([light, heavy, carton("NONE", (21.9, 7.9, 6.9), 180)]))
    offers = repacking.offers(pd.DataFrame([parcel("P1")]), ITEMS, thin, stocked)
    assert set(offers["carton_code"]) == {"SNUG", "HEAVY", "NONE"}
    assert offers.set_index("carton_code")["tare_lb"].dropna().to_dict() == {"HEAVY": 2.0, "SNUG": 1.0}


def test_cartons_beaten_in_price_and_every_side_are_not_rated() -> None:
    offers = offered([SNUG, carton("DEAR", (22, 8, 7), 201), carton("BIG", (40, 20, 20), 500)], parcel("P1"))
    assert set(offers[offers["clearance_in"] == 1.0]["carton_code"]) == {"SNUG"}
    assert set(offers[offers["clearance_in"] == 1.5]["carton_code"]) == {"BIG"}


def test_an_offer_without_a_price_is_taken_only_where_none_has_one() -> None:
    offers = offered([SNUG, carton("FLAT", (30, 9, 6.9), 100)], parcel("P1"))
    assert set(offers["carton_code"]) == {"SNUG"}
    unknown = repacking.cheapest(offers.assign(postage_cents=pd.array([None] * len(offers), dtype="Int64")), METHODS)
    assert unknown["postage_cents"].isna().all()


def test_goods_of_unknown_sides_are_left_out() -> None:
    assert offered([ROOMY], parcel("P1") | {"item_type": "globe"}).empty
    assert repacking.cheapest(offered([ROOMY], parcel("P1", pieces=40)), METHODS).empty


@settings(derandomize=True, deadline=None, max_examples=tries(20))
@given(
    sides=st.lists(st.tuples(*(st.integers(5, 40) for _ in range(3))), min_size=1, max_size=4),
    pieces=st.integers(1, 4),
    lowest=st.integers(3, 9),
)
def test_no_carton_is_offered_that_does_not_hold_the_goods(
    sides: list[tuple[int, int, int]], pieces: int, lowest: int
) -> None:
    cartons = [
        carton(f"C{at}", (max(each[:2]), min(each[:2]), each[2]), 100 + at, is_cuttable=True, minimum_height_in=lowest)
        for at, each in enumerate(sides)
    ]
    offers = offered(cartons, parcel("P1", pieces=pieces))
    inside = {row["carton_code"]: row for row in cartons}
    for row in offers.to_dict("records"):
        whole = inside[row["carton_code"]]
        height = whole["inside_height_in"] if pd.isna(row["cut_height_in"]) else row["cut_height_in"]
        assert lowest <= height <= whole["inside_height_in"] or height == whole["inside_height_in"]
        packed = contents([(packed_item(ITEM), pieces)], row["clearance_in"])
        answer = fit(packed, (whole["inside_length_in"], whole["inside_width_in"], height))
        assert answer.verdict is Verdict.FITS


@pytest.mark.parametrize("nothing", ["parcels", "cartons", "methods"])
def test_without_parcels_cartons_or_methods_there_is_nothing_to_rate(nothing: str) -> None:
    parcels = pd.DataFrame([parcel("P1")])
    cartons = pd.DataFrame([SNUG])
    methods = METHODS
    parcels, cartons, methods = (
        rows.iloc[:0] if name == nothing else rows
        for name, rows in (("parcels", parcels), ("cartons", cartons), ("methods", methods))
    )
    offers = repacking.offers(parcels, ITEMS, methods, repacking.stock(cartons))
    assert list(repacking.cheapest(offers, methods).columns) == list(TABLES[repacking.TABLE].columns)
