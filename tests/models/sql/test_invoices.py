"""Invoices held against the totals that they state, and what carriers granted and still owe, by hand."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest

from models.analyses import ANALYSES
from models.sql_texts import sql_texts
from pipelines.build.analysing import analyse
from pipelines.review.tracing import parcels_behind
from pipelines.shop import warehouse
from tests.shops import built, rows

OWED = "marts.unpaid_recoveries"


def line(invoice: str, cents: int, total: int | None = None, kind: str = "base", **more: Any) -> dict[str, Any]:
    known = {"invoice_number": invoice, "amount_cents": cents, "invoice_total_cents": total, "charge_kind": kind}
    return {"parcel_id": f"P-{invoice}", "shipped_on": "2026-10-02", **known, **more}


@pytest.fixture(scope="module")
def shop() -> Iterator[warehouse.Connection]:
    with built(
        charges=[
            # 1,000 + 200 tax - 50 credit + 300 of no parcel, shipped in two months.
            *(line("WHOLE", cents, 1_450, kind) for cents, kind in ((1_000, "base"), (200, "tax"), (-50, "credit"))),
            line("WHOLE", 300, 1_450, "surcharge", parcel_id=None),
            line("NET", 1_000, 1_000),
            line("NET", 190, 1_000, "tax"),
            line("SHORT", 700, 1_400),
            line("SHORT", 600, parcel_id="P-OTHER", shipped_on="2026-09-28"),
            line("BEYOND", 700, 650),
            line("TWO", 700, 700),
            line("TWO", 600, 600, parcel_id="P-TWO-2"),
            line("SILENT", 10),
            line("SHORT", 40, 40, carrier="Corvane"),
        ],
        claims=[
            {
                "claim_id": "PART",
                "parcel_id": "P-NET",
                "decided_on": "2026-09-30",
                "granted_cents": 500,
                "paid_cents": 120,
            },
            {
                "claim_id": "ALL",
                "parcel_id": "P-NET",
                "decided_on": "2026-10-01",
                "granted_cents": 500,
                "paid_cents": 500,
            },
            {"claim_id": "NO-DAY", "parcel_id": "P-NET", "granted_cents": 80},
            {"claim_id": "ASKED", "parcel_id": "P-NET", "claimed_cents": 500},
        ],
    ) as connection:
        yield connection


def test_each_invoice_is_held_against_its_own_total(shop: warehouse.Connection) -> None:
    asked = (
        "select carrier, invoice_number, amount_cents, stated_cents, total_check, short_cents from marts.invoice_totals"
    )
    assert sorted(shop.execute(asked).fetchall()) == [
        ("Corvane", "SHORT", 40, 40, "adds up", 0),
        ("Northline", "BEYOND", 700, 650, "does not add up", -50),
        ("Northline", "NET", 1_190, 1_000, "adds up without tax", 0),
        ("Northline", "SHORT", 1_300, 1_400, "does not add up", 100),
        ("Northline", "SILENT", 10, None, "not stated", None),
        ("Northline", "TWO", 1_300, None, "two totals", None),
        ("Northline", "WHOLE", 1_450, 1_450, "adds up", 0),
    ]


def test_an_invoice_leads_to_its_lines(shop: warehouse.Connection) -> None:
    found = parcels_behind(shop, "marts.invoice_totals", {"carrier": "Northline", "invoice_number": "SHORT"}, 9)
    assert (list(found.rows["parcel_id"]), found.amount_cents) == (["P-SHORT", "P-OTHER"], 1_300)


def test_what_was_granted_and_has_not_come_is_owed_since_that_day(shop: warehouse.Connection) -> None:
    asked = f"select recovery_id, granted_cents, received_cents, owed_cents, days_waiting from {OWED} order by 1"
    # The records end on 20 October, when the claims were opened.
    assert shop.execute(asked).fetchall() == [("NO-DAY", 80, 0, 80, None), ("PART", 500, 120, 380, 20)]
    found = parcels_behind(shop, OWED, {"recovery_id": "PART"}, 9)
    assert (list(found.rows["parcel_id"]), found.amount_cents) == (["P-NET"], 380)


def test_a_dispute_is_owed_until_the_credit_comes(shop: warehouse.Connection) -> None:
    marks = [("A", "won", 900, 0), ("B", "won", 900, 900), ("C", "won", None, 0), ("D", "sent", None, 0)]
    shop.execute("create or replace temp table kept as select * from marts.billing_disputes")
    for name, state, granted, credited in marks:
        known: dict[str, Any] = {
            "dispute_id": name,
            "parcel_id": f"P{name}",
            "carrier": "Northline",
            "item_type": "tripod",
        }
        known |= {"dispute_state": state, "credited_cents": credited, "outstanding_cents": 900 - credited}
        known |= {"recovered_cents": granted, "marked_on": date(2026, 10, 11)}
        columns = ", ".join(known)
        shop.execute(
            f"insert into marts.billing_disputes ({columns}) values ({', '.join('?' * len(known))})", [*known.values()]
        )
    sql = sql_texts("marts")["unpaid_recoveries"]
    found = rows(shop, f"select * from ({sql}) where recovery_kind = 'dispute' order by recovery_id")
    assert [(row["recovery_id"], row["owed_cents"], row["days_waiting"]) for row in found] == [
        ("A", 900, 9),
        ("C", None, 9),
    ]


def test_an_invoice_that_never_came_leads_to_the_parcels_that_wait() -> None:
    weeks = [f"2026-{month:02d}-{day:02d}" for month in (8, 9) for day in (3, 10, 17, 24, 28)]
    invoices = [
        line(f"N{at}", 900, invoiced_on=day, shipped_on=day, parcel_id=f"B{at}")
        for at, day in enumerate(weeks, start=7)
        if at != 11
    ]
    waiting = [{"parcel_id": f"W{day}", "sale_id": f"S{day}", "shipped_on": f"2026-08-{day}"} for day in (26, 27)]
    with built(charges=invoices, weights=waiting) as connection:
        analyse(connection, {}, [each for each in ANALYSES if each.name == "invoices missing"])
        (found,) = rows(connection, "select * from analysis.missing_invoices")
        assert (found["missing_numbers"], found["waiting_count"]) == ("N11", 2)
        behind = parcels_behind(connection, "analysis.missing_invoices", {"carrier": "Northline"}, 9)
        assert sorted(behind.rows["parcel_id"]) == ["W26", "W27"]
