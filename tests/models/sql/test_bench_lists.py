"""A bench list of three marks (label, carton, packing method): what it says, and what other records say of its parcels.

All cases lie in one shop, which is built once.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

import pytest

from pipelines.build.checks import run_checks
from pipelines.shop import warehouse
from tests.shops import built, rows

UNSAID = dict.fromkeys(("sale_id", "line_number", "packed_quantity", "shipped_on", "carrier", "service", "zone"))


def marked(parcel: str, **more: Any) -> dict[str, Any]:
    return {"parcel_id": parcel, **UNSAID, "carton_code": "C-08", "packing_method": "foam", **more}


def base(parcel: str, **more: Any) -> dict[str, Any]:
    return {"parcel_id": parcel, "charge_kind": "base", "amount_cents": 600, **more}


@pytest.fixture(scope="module")
def shop() -> Iterator[warehouse.Connection]:
    with built(
        item_types=[{"item_type": each} for each in ("tripod", "lens")],
        packing_methods=[{"packing_method": "foam", "material_cents": 300, "pack_minutes": 10}],
        cartons=[{"carton_code": "C-08", "unit_cost_cents": 250}],
        sales=[
            {"sale_id": "S-invoiced", "parcel_id": "INVOICED", "quantity": 3, "shipping_charged_cents": 1_000},
            {"sale_id": "S-labelled", "shipping_charged_cents": 1_000},
            {"sale_id": "S-named"},
            {"sale_id": "S-named", "line_number": 2, "item_type": "lens", "quantity": 2},
            {"sale_id": "S-named", "line_number": 3, "item_type": "lens", "sale_state": "cancelled"},
            {"sale_id": "S-sold", "parcel_id": "SOLD-ONLY"},
            {"sale_id": "S-both"},
            {"sale_id": "S-full"},
        ],
        weights=[
            *(marked(each) for each in ("INVOICED", "LABELLED", "SOLD-ONLY", "NOTHING", "VOIDED", "UNSOLD")),
            marked("NAMED", sale_id="S-named"),
            marked("DATED", shipped_on="2026-10-07"),
            # Marked on the list, and packed line by line in another file: the line counts once.
            marked("TWICE", carton_code=None),
            {"parcel_id": "TWICE", "sale_id": "S-both", "packed_quantity": 1},
            # A line whose row has no day, and nothing else has one.
            {"parcel_id": "LINE-WITHOUT-DAY", "sale_id": "S-full", "shipped_on": None},
        ],
        charges=[
            base("INVOICED", shipped_on="2026-10-05", service="express", zone="7"),
            base("NAMED", sale_id="S-labelled"),
            base("UNSOLD"),
        ],
        labels=[
            {"parcel_id": "LABELLED", "sale_id": "S-labelled", "bought_on": "2026-10-04", "service": "ground"},
            {"parcel_id": "VOIDED", "bought_on": "2026-10-04", "is_voided": True},
        ],
    ) as connection:
        yield connection


def parcel(shop: warehouse.Connection, parcel_id: str) -> dict[str, Any]:
    (found,) = rows(shop, f"select * from core.parcels where parcel_id = '{parcel_id}'")
    return found


def lines(shop: warehouse.Connection, parcel_id: str) -> list[tuple[str, int, int]]:
    asked = "select sale_id, line_number, packed_quantity from core.packed_lines"
    return [tuple(row.values()) for row in rows(shop, f"{asked} where parcel_id = '{parcel_id}' order by all")]


def test_invoice_and_sale_say_what_the_list_does_not(shop: warehouse.Connection) -> None:
    found = parcel(shop, "INVOICED")
    assert (found["shipped_on"], found["carrier"], found["service"], found["zone"]) == (
        dt.date(2026, 10, 5),
        "Northline",
        "express",
        "7",
    )
    assert (found["carton_code"], found["packing_method"], found["has_bench_log"]) == ("C-08", "foam", True)
    # Ten minutes at 24.00 an hour are 4.00.
    assert (found["carton_cents"], found["material_cents"], found["labour_cents"]) == (250, 300, 400)
    assert lines(shop, "INVOICED") == [("S-invoiced", 1, 3)]
    (cost,) = rows(shop, "select * from marts.parcel_costs where parcel_id = 'INVOICED'")
    assert cost["margin_cents"] == 1_000 - 600 - 250 - 300 - 400


def test_the_label_says_what_the_list_does_not(shop: warehouse.Connection) -> None:
    found = parcel(shop, "LABELLED")
    assert (found["shipped_on"], found["service"], found["item_type"]) == (dt.date(2026, 10, 4), "ground", "tripod")
    assert lines(shop, "LABELLED") == [("S-labelled", 1, 1)]


def test_a_sale_that_the_list_names_counts_before_that_of_the_invoice(shop: warehouse.Connection) -> None:
    assert lines(shop, "NAMED") == [("S-named", 1, 1), ("S-named", 2, 2)]
    doubts = rows(shop, "select doubt from core.parcel_doubts where parcel_id = 'NAMED'")
    assert doubts == [{"doubt": "sales disagree"}]


def test_a_day_on_the_list_is_enough(shop: warehouse.Connection) -> None:
    assert parcel(shop, "DATED")["shipped_on"] == dt.date(2026, 10, 7)
    assert parcel(shop, "DATED")["carrier"] == "unknown"


def test_a_parcel_marked_and_logged_has_its_line_once(shop: warehouse.Connection) -> None:
    assert lines(shop, "TWICE") == [("S-both", 1, 1)]
    assert parcel(shop, "TWICE")["packing_method"] == "foam"


def test_parcels_that_nothing_dates_are_counted_and_named(shop: warehouse.Connection) -> None:
    undated = ["LINE-WITHOUT-DAY", "NOTHING", "SOLD-ONLY", "VOIDED"]
    assert [row["parcel_id"] for row in rows(shop, "select * from core.undated_parcels order by all")] == undated
    warned = rows(shop, "select row_count, examples from analysis.warnings where warning = 'undated parcels'")
    assert warned[0]["row_count"] == 4
    assert "NOTHING" in warned[0]["examples"]
    assert rows(shop, "select 1 from core.parcels semi join core.undated_parcels using (parcel_id)") == []


def test_parcels_that_nothing_joins_to_a_sale_are_counted_and_named(shop: warehouse.Connection) -> None:
    warned = rows(
        shop, "select row_count, examples from analysis.warnings where warning = 'bench parcels without sales'"
    )
    assert warned[0]["row_count"] == 2
    assert "DATED" in warned[0]["examples"]
    assert "UNSOLD" in warned[0]["examples"]


def test_pieces_and_parcels_are_counted_once(shop: warehouse.Connection) -> None:
    assert [check.name for check in run_checks(shop, "total") if check.row_count] == []
    # Three of INVOICED, one of LABELLED, three of NAMED, one of TWICE.
    (counted,) = rows(shop, "select cast(sum(piece_count) as bigint) as pieces from marts.parcel_costs")
    assert counted["pieces"] == 3 + 1 + 3 + 1
