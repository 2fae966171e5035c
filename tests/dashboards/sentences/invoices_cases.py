"""Cases of the sentences on whole invoices and on money that is owed."""

from __future__ import annotations

import pandas as pd

from tests.dashboards.sentences.cases import SOONER, Case, Tables, row, rows

TOTALS, MISSING, OWED = "marts.invoice_totals", "analysis.missing_invoices", "marts.unpaid_recoveries"
DISPUTES, STATES = "marts.billing_disputes", "marts.record_states"


def _invoice(check: str, short: int | None = None) -> Tables:
    known = {"invoice_number": "T-7", "carrier": "Tern", "stated_cents": 12_000, "amount_cents": 11_000}
    return row(TOTALS, total_check=check, short_cents=short, **known)


def _gap(kind: str, before: pd.Timestamp | None = SOONER, **cells: object) -> Tables:
    known = {"carrier": "Tern", "missing_invoice_count": 1, "missing_numbers": "T-8", "after_invoice_number": "T-7"}
    return row(
        MISSING,
        invoice_gap=kind,
        before_on=before,
        before_invoice_number="T-9",
        usual_interval_days=7,
        **known,
        **cells,
    )


def _owed(cents: int | None = 400, granted: pd.Timestamp | None = SOONER) -> Tables:
    return row(OWED, owed_cents=cents, granted_on=granted, carrier="Tern", recovery_id="CL-3")


SHORT, BEYOND, WHOLE = _invoice("does not add up", 1_000), _invoice("does not add up", -1_000), _invoice("adds up", 0)
TWO, SILENT = _invoice("two totals"), _invoice("not stated")
REJECTED, NONE_REJECTED = (row(STATES, kind="charges", rejected_count=count) for count in (1, 0))
WON, SENT = (row(DISPUTES, dispute_state=state) for state in ("won", "sent"))

CASES: dict[str, Case] = {
    "invoices.lines_missing": Case(
        SHORT,
        (BEYOND, WHOLE, TWO, SILENT),
        "Invoice T-7 of Tern, 1 Mar 2027, states $120.00. Its lines on record add up to $110.00: $10.00 less.",
    ),
    "invoices.lines_beyond": Case(BEYOND, (SHORT, WHOLE, TWO, SILENT), "add up to $110.00: $10.00 more."),
    "invoices.two_totals": Case(TWO, (SHORT, WHOLE, SILENT), "states different totals on different lines"),
    "invoices.add_up": Case(WHOLE, (SILENT, SHORT, TWO, rows(TOTALS))),
    "invoices.rejected": Case(
        {**SHORT, **REJECTED},
        ({**SHORT, **NONE_REJECTED}, {**WHOLE, **REJECTED}, REJECTED, SHORT),
        "1 line of invoices was rejected on import and is in no sum",
    ),
    "invoices.number_missing": Case(
        _gap("number", numbered_count=40, followed_count=39),
        (_gap("period"), rows(MISSING)),
        "Tern: 1 invoice is not on record (T-8), between T-7 of 1 Mar 2027 and T-9 of 8 Apr 2027. Of 40 steps from one "
        "number to the next, 39 leave none out.",
    ),
    "invoices.period_missing": Case(
        _gap("period"),
        (_gap("number"), _gap("period", None), rows(MISSING)),
        "Tern usually bills every 7 days, but no invoice on record is dated between 1 Mar 2027 and 8 Apr 2027.",
    ),
    "invoices.none_since": Case(
        _gap("period", None),
        (_gap("number"), _gap("period"), rows(MISSING)),
        "Tern usually bills every 7 days; the last invoice on record is T-7 of 1 Mar 2027.",
    ),
    "invoices.waiting": Case(
        _gap("number", waiting_count=3, waiting_valued_count=2, waiting_cents=900),
        (_gap("number", waiting_count=3, waiting_valued_count=0), _gap("number", waiting_count=0), rows(MISSING)),
        "3 parcels wait for a bill of Tern, shipped from 1 Mar 2027 to 1 Mar 2027; the tariff expects $9.00 for 2 of",
    ),
    "invoices.waiting_unpriced": Case(
        _gap("number", waiting_count=1, waiting_valued_count=0),
        (_gap("number", waiting_count=1, waiting_valued_count=1), _gap("number", waiting_count=0), rows(MISSING)),
        "1 parcel waits for a bill of Tern",
    ),
    "invoices.owed": Case(
        _owed(),
        (_owed(None), _owed(granted=None), rows(OWED)),
        "Tern granted $12.50 for CL-3 on 8 Apr 2027; $4.00 of it is still owed.",
    ),
    "invoices.owed_undated": Case(
        _owed(granted=None), (_owed(), _owed(None), rows(OWED)), "$4.00 of it is still owed."
    ),
    "invoices.owed_not_known": Case(
        _owed(None), (_owed(), rows(OWED)), "`dunnage disputes mark CL-3 won --recovered AMOUNT` notes it."
    ),
    "invoices.all_received": Case(
        {**WON, **rows(OWED)}, ({**SENT, **rows(OWED)}, {**WON, **_owed()}, WON, rows(DISPUTES) | rows(OWED))
    ),
}
