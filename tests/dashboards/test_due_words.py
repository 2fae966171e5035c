"""What a terminal says is due: nothing where nothing is, and no endless list."""

from __future__ import annotations

from dashboards.due_words import MOST, due_lines
from models.shop_units import Units
from tests.dashboards.sentences.cases import LATER, MADE_AT, row, rows

TOTALS, MISSING, OWED = "marts.invoice_totals", "analysis.missing_invoices", "marts.unpaid_recoveries"
EUROS = Units("EUR")


def test_what_is_due_is_said_in_the_order_of_the_page() -> None:
    short = {"invoice_number": "T-7", "total_check": "does not add up", "short_cents": 1_000, "carrier": "Tern"}
    tables = {
        **rows(TOTALS, {"total_check": "adds up"}, short),
        **row(MISSING, invoice_gap="number", carrier="Tern", waiting_count=0),
        **row(OWED, carrier="Tern", recovery_id="CL-3"),
    }
    said = due_lines(tables, EUROS)
    assert [line.split(",")[0] for line in said] == [
        "Invoice T-7 of Tern",
        "Tern: 60 invoices are not on record (anvil)",
        "Tern granted €12.50 for CL-3 on 1 Mar 2027; €12.50 of it is still owed.",
    ]


def test_where_nothing_is_due_or_known_nothing_is_said() -> None:
    assert due_lines({**row(TOTALS, total_check="adds up"), **rows(MISSING), **rows(OWED)}, EUROS) == []
    assert due_lines({}, EUROS) == []


def test_of_many_deadlines_the_first_are_reported_and_the_others_counted() -> None:
    claims = [
        {"claim_id": f"C{at}", "claim_step": "filing", "step_due_on": LATER, "is_in_time": True}
        for at in range(MOST + 3)
    ]
    said = due_lines(rows("analysis.claim_steps", *claims), EUROS, MADE_AT)
    assert len(said) == MOST + 1
    assert said[-1].startswith("3 more deadlines")
