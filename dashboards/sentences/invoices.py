"""Invoices that do not add up, invoices that never came, and money that was granted and has not come."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, RowsOf, definition, kept, where
from dashboards.sentences.grounds import having, only_if, state

TOTALS, MISSING, OWED = "marts.invoice_totals", "analysis.missing_invoices", "marts.unpaid_recoveries"
DISPUTES, STATES = "marts.billing_disputes", "marts.record_states"
MOST = 3


def _checked(check: str) -> RowsOf:
    return having(TOTALS, "total_check", check)


def not_adding_up(records: Records) -> Rows:
    """Invoices whose lines are not what they state, the greatest difference first."""
    found = _checked("does not add up")(records)
    return found.sort_values("short_cents", key=lambda cents: cents.abs(), ascending=False, kind="stable")


def _short(is_less: bool) -> RowsOf:
    return kept(not_adding_up, lambda found: (found["short_cents"] > 0) == is_less, MOST)


def _all_add_up(records: Records) -> bool:
    checks = set(records.table(TOTALS)["total_check"])
    return bool(checks & {"adds up", "adds up without tax"}) and not checks & {"does not add up", "two totals"}


def _rejected(records: Records) -> Rows:
    rows = state(records, "charges")
    return only_if(len(not_adding_up(records)) > 0, rows[rows["rejected_count"] > 0])


def _gap(kind: str, *, is_over: bool) -> RowsOf:
    return kept(MISSING, lambda found: (found["invoice_gap"] == kind) & (found["before_on"].notna() == is_over))


def _waiting(is_priced: bool) -> RowsOf:
    return kept(
        MISSING, lambda found: (found["waiting_count"] > 0) & ((found["waiting_valued_count"] > 0) == is_priced)
    )


def owed(records: Records) -> Rows:
    """What carriers granted and still owe, the longest first."""
    rows = records.table(OWED)
    return rows.sort_values(["days_waiting", "owed_cents"], ascending=False, na_position="last", kind="stable")


def _owed(is_known: bool, is_dated: bool = True) -> RowsOf:
    return kept(
        owed, lambda found: (found["owed_cents"].notna() == is_known) & (found["granted_on"].notna() == is_dated), MOST
    )


def _all_received(records: Records) -> bool:
    is_won = bool((records.table(DISPUTES)["dispute_state"] == "won").any())
    return is_won and records.is_empty(OWED)


INVOICE = "Invoice {invoice_number} of {carrier}, {invoiced_on},"

ENTRIES = (
    where(
        "invoices.lines_missing",
        f"{INVOICE} states {{stated_cents}}. Its lines on record add up to {{amount_cents}}: {{short_cents}} less.",
        _short(True),
    ),
    where(
        "invoices.lines_beyond",
        f"{INVOICE} states {{stated_cents}}. Its lines on record add up to {{amount_cents}}: "
        "{short_cents:unsigned} more.",
        _short(False),
    ),
    where(
        "invoices.two_totals",
        f"{INVOICE} states different totals on different lines, so its sum is not checked.",
        _checked("two totals"),
    ),
    where("invoices.add_up", "The lines of every invoice that states a total add up to it.", _all_add_up),
    where(
        "invoices.rejected",
        "{rejected_count:line of invoices was rejected on import and is/lines of invoices were rejected on import and "
        "are} in no sum; `dunnage rejects` lists them.",
        _rejected,
    ),
    where(
        "invoices.number_missing",
        "{carrier}: {missing_invoice_count:invoice is/invoices are} not on record ({missing_numbers}), between "
        "{after_invoice_number} of {after_on} and {before_invoice_number} of {before_on}. Of {numbered_count} steps "
        "from one number to the next, {followed_count} leave none out.",
        _gap("number", is_over=True),
    ),
    where(
        "invoices.period_missing",
        "{carrier} usually bills every {usual_interval_days} days, but no invoice on record is dated between "
        "{after_on} and {before_on}.",
        _gap("period", is_over=True),
    ),
    where(
        "invoices.none_since",
        "{carrier} usually bills every {usual_interval_days} days; the last invoice on record is "
        "{after_invoice_number} of {after_on}.",
        _gap("period", is_over=False),
    ),
    where(
        "invoices.waiting",
        "{waiting_count:parcel waits/parcels wait} for a bill of {carrier}, shipped from {waiting_from_on} to "
        "{waiting_to_on}; the tariff expects {waiting_cents} for {waiting_valued_count} of them.",
        _waiting(True),
    ),
    where(
        "invoices.waiting_unpriced",
        "{waiting_count:parcel waits/parcels wait} for a bill of {carrier}, shipped from {waiting_from_on} to "
        "{waiting_to_on}; no tariff says what to expect.",
        _waiting(False),
    ),
    where(
        "invoices.owed",
        "{carrier} granted {granted_cents} for {recovery_id} on {granted_on}; {owed_cents} of it is still owed.",
        _owed(True),
    ),
    where(
        "invoices.owed_undated",
        "{carrier} granted {granted_cents} for {recovery_id}; {owed_cents} of it is still owed.",
        _owed(True, is_dated=False),
    ),
    where(
        "invoices.owed_not_known",
        "{recovery_id} was won from {carrier} on {granted_on}. The amount is not on record: `dunnage disputes mark "
        "{recovery_id} won --recovered AMOUNT` notes it.",
        _owed(False),
    ),
    where("invoices.all_received", "All that carriers granted has been credited or paid.", _all_received),
    definition(
        "invoices.means",
        "All lines of an invoice on record count, tax and credits included. A total stated without the tax is taken "
        "as one that adds up.",
    ),
)
