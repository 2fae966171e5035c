"""Which sale went in which parcel, and what cancelled, returned and refunded sales bring: given rows, expected rows.

All cases lie in one shop, which is built once; each has sales and parcels of its own.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from pipelines.shop import warehouse
from tests.shops import built, rows


def sale(sale_id: str, parcel: str | None = None, line: int = 1, **more: Any) -> dict[str, Any]:
    return {"sale_id": sale_id, "line_number": line, "parcel_id": parcel, "shipping_charged_cents": 1_000, **more}


def base(parcel: str, cents: int = 600, sale_id: str | None = None) -> dict[str, Any]:
    return {"parcel_id": parcel, "charge_kind": "base", "amount_cents": cents, "sale_id": sale_id}


FEE = {"marketplace_fee_cents": 1_100, "is_fee_on_shipping": True}
STATES = {
    "kept": sale("S-kept", "P-kept", item_type="kept", **FEE),
    "cancelled": sale("S-cancelled", "P-cancelled", sale_state="cancelled", **FEE),
    "returned": sale("S-returned", "P-returned", sale_state="returned", shipping_refunded_cents=400, **FEE),
    "refunded": sale("S-refunded", "P-refunded", sale_state="refunded", **FEE),
    "in part": sale("S-part", "P-part", sale_state="refunded", shipping_refunded_cents=250, **FEE),
    "more than paid": sale("S-more", "P-more", shipping_refunded_cents=1_300),
}


@pytest.fixture(scope="module")
def shop() -> Iterator[warehouse.Connection]:
    with built(
        item_types=[{"item_type": each, "shipping_allowance_cents": 150} for each in ("tripod", "kept", "lens")],
        sales=[
            *STATES.values(),
            # Two parcels of one sale, each line in its own; a third line that was cancelled.
            sale("S-apart", "APART-1"),
            sale("S-apart", "APART-2", 2, item_type="lens"),
            # The number stands on the first line only.
            sale("S-one", "ONE"),
            sale("S-one", None, 2, item_type="lens"),
            sale("S-one", None, 3, item_type="lens", sale_state="cancelled"),
            # Two parcels and a line that may be in either.
            sale("S-either", "EITHER-1"),
            sale("S-either", "EITHER-2", 2),
            sale("S-either", None, 3),
            # Two sales in one parcel.
            sale("S-both-1", "BOTH"),
            sale("S-both-2", "BOTH"),
            # What others say of the same parcel.
            sale("S-own", "CONFLICT", marketplace_fee_cents=500),
            sale("S-other", marketplace_fee_cents=500, is_fee_on_shipping=False),
            sale("S-bench"),
            sale("S-wrong", "BENCH"),
            sale("S-moved", "TYPED-WRONG"),
            # A label without a bench log whose sale was cancelled in part, and one cancelled whole.
            sale("S-half"),
            sale("S-half", None, 2, sale_state="cancelled"),
            sale("S-none", sale_state="cancelled"),
            # Never seen again.
            sale("S-never", "NEVER", sold_at="2026-08-01 10:00:00"),
            sale("S-nowhere", "NOWHERE", sold_at="2026-08-01 10:00:00", sale_state="cancelled"),
            sale("S-recent", "RECENT", sold_at="2026-10-01 10:00:00"),
            sale("S-late", "LATE", deliver_by="2026-10-05"),
            sale("S-in-time", "IN-TIME", deliver_by="2026-10-09"),
            sale("S-no-day", "NO-DAY", deliver_by="2026-10-05"),
        ],
        weights=[{"parcel_id": "BENCH", "sale_id": "S-bench"}, {"parcel_id": "MOVED", "sale_id": "S-moved"}],
        charges=[
            *(base(f"P-{each}") for each in ("kept", "cancelled", "returned", "refunded", "part", "more")),
            *(base(each) for each in ("APART-1", "APART-2", "ONE", "EITHER-1", "EITHER-2", "BOTH")),
            *(base(each) for each in ("BENCH", "MOVED", "NO-DAY")),
            *({**base(each), "shipped_on": "2026-10-09"} for each in ("LATE", "IN-TIME")),
            base("CONFLICT", sale_id="S-other"),
            base("HALF", sale_id="S-half"),
            base("NONE", sale_id="S-none"),
        ],
    ) as connection:
        yield connection


def lines(shop: warehouse.Connection, parcel: str) -> list[tuple[str, int]]:
    asked = f"select sale_id, line_number from core.packed_lines where parcel_id = '{parcel}' order by all"
    return [tuple(row.values()) for row in rows(shop, asked)]


def test_a_parcel_number_on_the_sale_joins_sale_and_invoice(shop: warehouse.Connection) -> None:
    (found,) = rows(shop, "select * from marts.parcel_costs where parcel_id = 'P-kept'")
    assert (found["item_type"], found["piece_count"]) == ("kept", 1)
    # 1,100 of fee on 10,000 of goods and 1,000 of shipping: 100 are for shipping.
    assert found["margin_cents"] == 1_000 + 150 - 100 - 600
    assert rows(shop, "select has_bench_log from core.parcels where parcel_id = 'P-kept'") == [{"has_bench_log": False}]


@pytest.mark.parametrize(
    ("parcel", "held"),
    [
        ("APART-1", [("S-apart", 1)]),
        ("APART-2", [("S-apart", 2)]),
        ("ONE", [("S-one", 1), ("S-one", 2)]),
        ("EITHER-1", [("S-either", 1)]),
        ("EITHER-2", [("S-either", 2)]),
        ("BOTH", [("S-both-1", 1), ("S-both-2", 1)]),
        ("CONFLICT", [("S-own", 1)]),
        ("BENCH", [("S-bench", 1)]),
        ("MOVED", [("S-moved", 1)]),
        ("HALF", [("S-half", 1)]),
        ("NONE", [("S-none", 1)]),
    ],
)
def test_what_is_in_a_parcel(shop: warehouse.Connection, parcel: str, held: list[tuple[str, int]]) -> None:
    assert lines(shop, parcel) == held


def test_records_that_name_different_sales_are_counted(shop: warehouse.Connection) -> None:
    found = rows(shop, "select parcel_id from core.parcel_doubts where doubt = 'sales disagree' order by all")
    assert [row["parcel_id"] for row in found] == ["BENCH", "CONFLICT", "MOVED"]
    warned = rows(shop, "select row_count from analysis.warnings where warning = 'sales disagree'")
    assert warned == [{"row_count": 3}]


@pytest.mark.parametrize(
    ("parcel", "charged", "refunded", "allowance", "fee"),
    [
        ("P-kept", 1_000, 0, 150, 100),
        ("P-cancelled", 0, 0, 0, 0),
        ("P-returned", 1_000, 400, 150, 100),
        ("P-refunded", 1_000, 1_000, 0, 100),
        ("P-part", 1_000, 250, 0, 100),
        ("P-more", 1_000, 1_300, 150, 0),
    ],
)
def test_what_a_sale_brings_by_its_state(
    shop: warehouse.Connection, parcel: str, charged: int, refunded: int, allowance: int, fee: int
) -> None:
    (found,) = rows(shop, f"select * from marts.parcel_costs where parcel_id = '{parcel}'")
    paid = ("shipping_charged_cents", "shipping_refunded_cents", "allowance_cents", "fee_on_shipping_cents")
    assert tuple(found[name] for name in paid) == (charged, refunded, allowance, fee)
    assert found["margin_cents"] == charged - refunded + allowance - fee - 600


def test_states_are_counted_with_the_parcels_that_went_all_the_same(shop: warehouse.Connection) -> None:
    asked = "select * exclude (sold_month) from marts.sale_states where sold_month = '2026-10-01' order by sale_state"
    found = {row.pop("sale_state"): row for row in rows(shop, asked)}
    assert found["cancelled"] == {
        "line_count": 4,
        "parcel_count": 2,
        "shipping_charged_cents": 0,
        "shipping_tax_cents": 0,
        "shipping_refunded_cents": 0,
    }
    assert found["refunded"] == {
        "line_count": 2,
        "parcel_count": 2,
        "shipping_charged_cents": 2_000,
        "shipping_tax_cents": 0,
        "shipping_refunded_cents": 1_250,
    }
    assert found["returned"]["line_count"] == 1


def test_a_sale_whose_parcel_no_invoice_names_in_45_days_is_listed(shop: warehouse.Connection) -> None:
    (warned,) = rows(shop, "select * from analysis.warnings where warning = 'sales without parcels'")
    assert warned["row_count"] == 1 and "NEVER" in warned["examples"]


def test_a_parcel_sent_after_the_promised_day_is_listed(shop: warehouse.Connection) -> None:
    """Both went on 9 October by their invoice of that day; of a third the invoice says nothing but its own day."""
    (warned,) = rows(shop, "select * from analysis.warnings where warning = 'shipped after promise'")
    assert warned["row_count"] == 1 and "LATE" in warned["examples"]
    assert rows(shop, "select cast(shipped_on as varchar) as day from core.parcels where parcel_id = 'NO-DAY'") == [
        {"day": "2026-10-09"}
    ]


def test_a_fee_that_may_be_on_shipping_too_is_listed(shop: warehouse.Connection) -> None:
    """Shipping bears none of it; a fee stated to be on the goods alone is in order."""
    (warned,) = rows(shop, "select * from analysis.warnings where warning = 'unknown fees on shipping'")
    assert warned["row_count"] == 1 and "S-own" in warned["examples"]


def test_parcels_of_one_sale_that_nothing_tells_apart_have_no_item_type_and_are_listed() -> None:
    bench: list[dict[str, Any]] = [
        {"parcel_id": f"{name}-{number}", "sale_id": name, "carton_code": "C-48", "line_number": line}
        for name, lines in (("S-mixed", (None, None)), ("S-alike", (None, None)), ("S-told", (1, 2)))
        for number, line in enumerate(lines, start=1)
    ]
    pieces = [row | {"packed_quantity": 1 if row["line_number"] else None} for row in bench]
    second = {"S-mixed": "lens", "S-alike": "tripod", "S-told": "lens"}
    sales = [
        sale(name, None, line, item_type=item)
        for name, other in second.items()
        for line, item in ((1, "tripod"), (2, other))
    ]
    with built(sales=sales, weights=pieces, cartons=[{"carton_code": "C-48"}]) as connection:
        asked = "select row_count, examples from analysis.warnings where warning = 'contents not told apart'"
        (warned,) = rows(connection, asked)
        found = rows(connection, "select parcel_id, item_type, piece_count from core.parcels")
        counted = rows(connection, "select item_type, parcel_count, piece_count from marts.item_type_costs")
    # Which goods were in which parcel nobody knows, how many parcels they filled is known.
    assert [row["piece_count"] for row in found] == [1] * 6
    assert {row["item_type"]: (row["parcel_count"], row["piece_count"]) for row in counted} == {
        "tripod": (4, 4),
        "lens": (2, 2),
    }
    assert (warned["row_count"], set(warned["examples"].split("; "))) == (2, {"Parcel S-mixed-1", "Parcel S-mixed-2"})
    assert {row["parcel_id"]: row["item_type"] for row in found} == {
        "S-mixed-1": "unknown",
        "S-mixed-2": "unknown",
        "S-alike-1": "tripod",
        "S-alike-2": "tripod",
        "S-told-1": "tripod",
        "S-told-2": "lens",
    }
