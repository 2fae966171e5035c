"""Contracts of whole invoices: what they state, which never came, and what carriers granted and still owe."""

from __future__ import annotations

from models.contracts import Contract, contract
from models.made_from import MadeFrom, itself

INVOICES: tuple[Contract, ...] = (
    contract(
        "core.invoice_parts",
        "shipped_month carrier invoice_number | invoiced_on line_count parcel_count amount_cents tax_cents "
        "least_stated_cents? most_stated_cents?",
    ),
    contract(
        "marts.invoice_totals",
        "carrier invoice_number | invoiced_on line_count parcel_count amount_cents tax_cents stated_cents? "
        "total_check short_cents?",
        made_from=MadeFrom("core.charge_lines", sums="amount_cents"),
    ),
    contract(
        "analysis.missing_invoices",
        "carrier after_invoice_number invoice_gap | after_on missing_numbers? missing_invoice_count "
        "before_invoice_number? before_on? expected_on? usual_interval_days? numbered_count? followed_count? "
        "waiting_from_on waiting_to_on waiting_count waiting_valued_count waiting_cents",
        "One row per carrier and place in its run of invoices where one or more never came.",
        made_from=MadeFrom(
            "waiting_parcels",
            "carrier",
            sums="waiting_cents",
            where="b.shipped_on between r.waiting_from_on and r.waiting_to_on",
        ),
    ),
    contract(
        "marts.unpaid_recoveries",
        "recovery_kind recovery_id | parcel_id carrier item_type granted_on? granted_cents? received_cents "
        "owed_cents? days_waiting?",
        made_from=itself("owed_cents"),
    ),
)
