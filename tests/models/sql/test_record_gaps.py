"""Sold, packed, billed, claimed: what has no counterpart, counted and valued by hand; each piece counts once."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from models.errors import CheckFailedError
from pipelines.build.checks import run_checks, stop_on
from pipelines.review.tracing import parcels_behind, sources
from pipelines.shop import warehouse
from tests.shops import built, rows

GAPS = "marts.record_gaps"


def sale(sale_id: str, parcel: str | None = None, line: int = 1, **more: Any) -> dict[str, Any]:
    return {"sale_id": sale_id, "line_number": line, "parcel_id": parcel, "shipping_charged_cents": 1_000, **more}


def base(parcel: str, cents: int = 600, sale_id: str | None = None) -> dict[str, Any]:
    return {"parcel_id": parcel, "charge_kind": "base", "amount_cents": cents, "sale_id": sale_id}


@pytest.fixture(scope="module")
def shop() -> Iterator[warehouse.Connection]:
    """No tariff. Sales of every state, some without a parcel; parcels of the bench and of invoices alone."""
    with built(
        item_types=[{"item_type": "tripod"}, {"item_type": "lens"}],
        sales=[
            sale("S-sent", "SENT"),
            sale("S-billed-only", "BILLED"),
            sale("S-waits", "WAITS"),
            sale("S-waits", line=2, shipping_charged_cents=300, shipping_refunded_cents=50),
            sale("S-returned", sale_state="returned"),
            sale("S-refunded", sale_state="refunded"),
            sale("S-cancelled", sale_state="cancelled"),
            sale("S-august", sold_at="2026-08-30 10:00:00", item_type=None, title="a thing"),
            # Two pieces of one line, three parcels that only invoices know.
            sale("S-three", quantity=2),
            # One line on the bench, one in a parcel that is missing there.
            sale("S-two"),
            sale("S-two", line=2, item_type="lens"),
            # All on the bench, and a second parcel by an invoice.
            sale("S-again"),
        ],
        weights=[
            {"parcel_id": "SENT", "sale_id": "S-sent"},
            {"parcel_id": "NO-BILL", "sale_id": "S-elsewhere"},
            {"parcel_id": "TWO-1", "sale_id": "S-two"},
            {"parcel_id": "AGAIN-1", "sale_id": "S-again"},
        ],
        charges=[
            *(base(each) for each in ("SENT", "BILLED", "TWO-1", "AGAIN-1")),
            *(base(f"THREE-{n}", sale_id="S-three") for n in (1, 2, 3)),
            base("TWO-2", sale_id="S-two"),
            base("AGAIN-2", sale_id="S-again"),
            base("STRAY", 450),
            {"parcel_id": "STRAY", "charge_kind": "credit", "amount_cents": -20},
        ],
        claims=[
            {"claim_id": "C1", "parcel_id": "SENT", "refund_cents": 500},
            {"claim_id": "C2", "parcel_id": "GHOST", "refund_cents": 700, "salvage_cents": 100},
        ],
    ) as connection:
        yield connection


def gaps(shop: warehouse.Connection, month: str) -> dict[str, tuple[Any, ...]]:
    asked = f"select gap, due_count, missing_count, missing_cents from {GAPS} where shipped_month = '{month}'"
    return {name: tuple(rest) for name, *rest in shop.execute(asked).fetchall()}


def test_what_has_no_counterpart_is_counted_and_valued(shop: warehouse.Connection) -> None:
    assert gaps(shop, "2026-10-01") == {
        # S-waits has two lines (1,000 and 250), S-returned one; nobody says that a refunded sale was sent.
        "sales without a parcel": (9, 3, 2_250),
        # Of a parcel without a tariff the amount is not known.
        "parcels without a bill": (11, 1, None),
        "bills without a sale": (10, 1, 430),
        "claims without a parcel": (2, 1, 600),
    }
    assert gaps(shop, "2026-08-01") == {"sales without a parcel": (1, 1, 1_000)}


@pytest.mark.parametrize(
    ("gap", "parcels", "kinds"),
    [
        ("sales without a parcel", ["sale S-returned", "sale S-waits"], {"sales"}),
        ("parcels without a bill", ["NO-BILL"], {"weights"}),
        ("bills without a sale", ["STRAY"], {"charges"}),
        ("claims without a parcel", ["GHOST"], {"claims"}),
    ],
)
def test_each_gap_leads_to_its_records(
    shop: warehouse.Connection, gap: str, parcels: list[str], kinds: set[str]
) -> None:
    found = parcels_behind(shop, GAPS, {"shipped_month": "2026-10-01", "gap": gap}, 50)
    (stated,) = rows(shop, f"select missing_cents from {GAPS} where shipped_month = '2026-10-01' and gap = '{gap}'")
    assert (sorted(found.rows["parcel_id"]), found.amount_cents) == (parcels, stated["missing_cents"])
    shop.execute("create schema if not exists intake")
    assert set(sources(shop, parcels)["kind"]) <= kinds


def test_a_sale_of_an_unknown_item_type_is_known_as_a_sale(shop: warehouse.Connection) -> None:
    (found,) = rows(shop, "select * from marts.coverage where shipped_month = '2026-10-01'")
    assert (found["parcel_count"], found["sold_parcel_count"]) == (12, 9)


def test_each_piece_of_an_order_in_several_parcels_counts_once(shop: warehouse.Connection) -> None:
    asked = "select parcel_id, line_number, packed_quantity from core.packed_lines where sale_id = '{}' order by all"
    three = shop.execute(asked.format("S-three")).fetchall()
    assert three == [("THREE-1", 1, 1), ("THREE-2", 1, 1), ("THREE-3", 1, 0)]
    assert shop.execute(asked.format("S-two")).fetchall() == [("TWO-1", 1, 1), ("TWO-2", 2, 1)]
    assert shop.execute(asked.format("S-again")).fetchall() == [("AGAIN-1", 1, 1), ("AGAIN-2", 1, 0)]
    assert rows(shop, "select * from analysis.warnings where warning = 'packed more than sold'") == []
    sold = rows(shop, "select sum(quantity) as n from core.sale_lines where sale_id in ('S-three','S-two','S-again')")
    held = rows(
        shop,
        "select sum(packed_quantity) as n from core.packed_lines where sale_id like 'S-t%' or sale_id like 'S-again'",
    )
    assert sold == held


def test_what_was_paid_is_shared_evenly_where_nothing_says_which_piece_lay_where(shop: warehouse.Connection) -> None:
    asked = "select parcel_id, shipping_charged_cents from marts.parcel_costs where parcel_id like '{}%' order by all"
    assert shop.execute(asked.format("THREE")).fetchall() == [("THREE-1", 334), ("THREE-2", 333), ("THREE-3", 333)]
    assert shop.execute(asked.format("AGAIN")).fetchall() == [("AGAIN-1", 1_000), ("AGAIN-2", 0)]


@pytest.mark.parametrize("column", ["due_count", "missing_count", "missing_cents"])
@pytest.mark.parametrize(
    "gap", ["sales without a parcel", "parcels without a bill", "bills without a sale", "claims without a parcel"]
)
def test_gaps_that_do_not_add_up_stop_the_build(shop: warehouse.Connection, gap: str, column: str) -> None:
    shop.execute("begin")
    try:
        shop.execute(f"update {GAPS} set {column} = coalesce({column}, 0) + 1 where gap = '{gap}'")
        with pytest.raises(CheckFailedError, match="gaps_are_counted"):
            stop_on(run_checks(shop, "total"))
    finally:
        shop.execute("rollback")
