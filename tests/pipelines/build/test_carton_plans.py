"""Joined and split parcels: by given parcels and expected rows, priced by the literal reading of the demo's tariffs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

import pandas as pd

from models.carton_choice.offers import stocked_offers
from models.plain_rows import as_dicts
from models.settings.cartons import Cartons
from pipelines.build.cartons import classes
from pipelines.build.cartons.planning import plan_table
from sample_data.literal_rating import Parcel, rate, tariff_on
from tests.pipelines.build.planted_cartons import TARIFFS
from tests.pipelines.parcels import JUDGED, demo_tariffs
from tests.shops import Rows, built

BIG = {
    "carton_code": "BIG",
    "inside_length_in": 46,
    "inside_width_in": 16,
    "inside_height_in": 9,
    "outside_length_in": 46.5,
    "outside_width_in": 16.5,
    "outside_height_in": 9.5,
    "is_cuttable": False,
    "unit_cost_cents": 400,
}
SLIM = BIG | {"carton_code": "SLIM", "inside_width_in": 8.5, "outside_width_in": 9.0, "unit_cost_cents": 300}
TRIPOD = {"item_type": "tripod", "length_in": 43, "width_in": 6, "height_in": 6, "weight_lb": 12, "turns": "any"}
PAPER = {"packing_method": "paper", "clearance_in": 1, "material_cents": 90, "pack_minutes": 6}
DAY = dt.date(2026, 10, 2)
PACKING_CENTS = 90 + 6 * 2_400 // 60


def parcel(number: int, carton: str, pounds: float, **other: Any) -> dict[str, Any]:
    sides = {"BIG": (46.5, 16.5, 9.5), "SLIM": (46.5, 9.5, 9.0)}[carton]
    measured = dict(zip(("length_in", "width_in", "height_in"), sides, strict=True))
    known = {"parcel_id": f"P{number}", "sale_id": "S1", "carton_code": carton, "packing_method": "paper"}
    return {**known, **measured, "scale_weight_lb": pounds, "shipped_on": str(DAY), "is_residential": True, **other}


def found(
    weights: Rows,
    quantity: int = 2,
    stocked: Sequence[str] = ("BIG", "SLIM"),
    tares: Sequence[float | None] = (None, None),
    **stated: Any,
) -> list[dict[str, Any]]:
    with (
        built(
            price_lists=demo_tariffs(),
            sales=[{"sale_id": "S1", "quantity": quantity}, {"sale_id": "S2"}],
            weights=weights,
            cartons=[{**each, "tare_lb": tare} for each, tare in zip((BIG, SLIM), tares, strict=True)],
            item_types=[TRIPOD],
            packing_methods=[PAPER],
            needed=JUDGED,
        ) as connection,
        classes.working(connection),
    ):
        wanted = classes.demand(connection, Cartons(**stated))
        boxes = wanted.catalogue[wanted.catalogue["carton_code"].isin(stocked)].reset_index(drop=True)
        return as_dicts(plan_table(connection, wanted, [stocked_offers(boxes, 1.0, 80)]))


def cents(carton: str, pounds: float) -> int:
    """Carriage by the literal rating, the carton and its packing."""
    sides = {"BIG": (46.5, 16.5, 9.5), "SLIM": (46.5, 9.5, 9.0)}[carton]
    tariff = tariff_on(TARIFFS, "Northline", DAY)
    assert tariff is not None
    carriage = rate(Parcel("ground", "5", DAY, sides, pounds, is_residential=True), tariff).total_cents
    return carriage + {"BIG": 400, "SLIM": 300}[carton] + PACKING_CENTS


def test_two_parcels_of_a_sale_would_fit_one() -> None:
    (plan,) = found([parcel(1, "SLIM", 13), parcel(2, "SLIM", 13.5)])
    assert (plan["plan"], plan["contents_before"], plan["contents"]) == ("joined", "1 tripod | 1 tripod", "2 tripod")
    assert plan["spent_cents"] == cents("SLIM", 13) + cents("SLIM", 13.5)
    assert plan["plan_cents"] == cents("BIG", 26.5)
    assert plan["plan_saving_cents"] == max(0, plan["spent_cents"] - plan["plan_cents"])
    assert (plan["plan_sale_count"], plan["cheaper_count"]) == (1, int(plan["plan_saving_cents"] > 0))


def test_one_parcel_of_two_pieces_could_be_two() -> None:
    (plan,) = found([parcel(1, "BIG", 26, packed_quantity=2)])
    assert (plan["plan"], plan["contents_before"], plan["contents"]) == ("split", "2 tripod", "1 tripod")
    assert plan["spent_cents"] == cents("BIG", 26)
    assert plan["plan_cents"] == 2 * cents("SLIM", 13)


def test_only_the_sizes_to_stock_are_packed_in_and_parcels_unchanged_in_them_are_the_measure() -> None:
    """Without BIG nothing can be joined; without SLIM two pieces of a parcel go in two BIG ones."""
    slim = [parcel(1, "SLIM", 13), parcel(2, "SLIM", 13.5)]
    assert found(slim, stocked=["SLIM"]) == []
    (plan,) = found([parcel(1, "BIG", 26, packed_quantity=2)], stocked=["BIG"])
    assert plan["plan_cents"] == 2 * cents("BIG", 13) and plan["unchanged_cents"] == plan["spent_cents"]
    # One tripod that went in BIG: SLIM alone is what saves, and joining is measured against that.
    (joined,) = found([parcel(1, "BIG", 13), parcel(2, "BIG", 13.5)])
    assert joined["spent_cents"] == cents("BIG", 13) + cents("BIG", 13.5)
    assert joined["unchanged_cents"] == cents("SLIM", 13) + cents("SLIM", 13.5) < joined["spent_cents"]
    assert joined["plan_saving_cents"] == max(0, joined["unchanged_cents"] - joined["plan_cents"])


def test_what_did_not_go_together_is_not_joined() -> None:
    assert found([parcel(1, "SLIM", 13), parcel(2, "SLIM", 13, shipped_on="2026-10-05")]) == []
    assert found([parcel(1, "SLIM", 13), parcel(2, "SLIM", 13, carrier="Corvane", service="economy")]) == []
    assert found([parcel(1, "SLIM", 13), parcel(2, "SLIM", 13, sale_id="S2")]) == []


def test_what_fits_no_carton_or_is_refused_is_no_plan() -> None:
    """Three tripods do not lie in BIG; two of 80 lb each pass the 150 lb that Northline carries."""
    three = [parcel(number, "SLIM", 13) for number in (1, 2, 3)]
    assert found(three, quantity=3) == []
    assert found([parcel(1, "SLIM", 80), parcel(2, "SLIM", 80)]) == []


def test_alike_plans_are_one_row() -> None:
    twice = [parcel(1, "BIG", 26, packed_quantity=2), parcel(2, "BIG", 26, packed_quantity=2, shipped_on="2026-10-05")]
    (plan,) = found(twice, quantity=4)
    assert isinstance(plan, dict) and plan["plan_sale_count"] == 2
    assert pd.notna(plan["plan_cents"])


def test_what_is_joined_weighs_what_its_goods_and_its_own_carton_do() -> None:
    sent = [parcel(1, "SLIM", 33), parcel(2, "SLIM", 33)]
    (net,) = found(sent, tares=(5.0, 3.0))
    # 60 lb of goods; what both cartons weighed is not in it.
    assert net["plan_cents"] == cents("BIG", 65) < cents("BIG", 66)
    assert net["unchanged_cents"] == 2 * cents("SLIM", 33)
    (unknown,) = found(sent, tares=(5.0, None))
    assert unknown["plan_cents"] == cents("BIG", 66)


def test_each_part_of_a_split_parcel_has_a_carton_of_its_own_to_carry() -> None:
    (net,) = found([parcel(1, "BIG", 70, packed_quantity=2)], tares=(5.0, 3.0))
    assert net["plan_cents"] == 2 * cents("SLIM", 32.5 + 3) > 2 * cents("SLIM", 35)


# Room left in BIG, an inch clear: by one tripod and by two, in cubic inches.
LEFT_BY_ONE, LEFT_BY_TWO = 45 * 15 * 8 - 44 * 7 * 7, 45 * 15 * 8 - 2 * 44 * 7 * 7


def test_void_fill_counts_by_what_the_parts_take_more_than_the_parcel_sent() -> None:
    sent = [parcel(1, "BIG", 26, packed_quantity=2)]
    (plain,) = found(sent, stocked=["BIG"])
    (filled,) = found(sent, stocked=["BIG"], void_fill_cents_per_ft3=864)
    # Half a cent for a cubic inch.
    assert filled["plan_cents"] - plain["plan_cents"] == (2 * LEFT_BY_ONE - LEFT_BY_TWO) / 2
    assert filled["unchanged_cents"] == plain["unchanged_cents"]


def test_and_by_its_weight() -> None:
    per_in3 = 0.01
    (filled,) = found([parcel(1, "BIG", 150, packed_quantity=2)], stocked=["BIG"], void_fill_lb_per_ft3=per_in3 * 1728)
    goods = (150 - LEFT_BY_TWO * per_in3) / 2
    assert filled["plan_cents"] == 2 * cents("BIG", goods + LEFT_BY_ONE * per_in3) > 2 * cents("BIG", 75)
