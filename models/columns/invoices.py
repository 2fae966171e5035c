"""Columns of whole invoices: totals that they state, invoices that never came, and money that is owed."""

from __future__ import annotations

from models.fields import Definition, cents, choice, count, date, signed_cents, text

TOTAL_CHECKS = ("not stated", "adds up", "adds up without tax", "does not add up", "two totals")
INVOICE_GAPS = ("number", "period")
RECOVERY_KINDS = ("dispute", "claim")

INVOICES: dict[str, Definition] = {
    "invoice_total_cents": signed_cents(
        "Total that the invoice states for all of its lines, tax and credits included",
        431_220,
        known_as="invoice/document total [amount]",
    ),
    "least_stated_cents": signed_cents("Lowest total that a line of the invoice states", 431_220),
    "most_stated_cents": signed_cents("Highest total that a line of the invoice states", 431_220),
    "stated_cents": signed_cents(
        "Total that the invoice states, where all of its lines state the same", 431_220, label="Stated total"
    ),
    "total_check": choice(
        "What the stated total says of the lines: all of them, or all but the tax, add up to it or do not",
        "does not add up",
        TOTAL_CHECKS,
        label="Total and lines",
    ),
    "short_cents": signed_cents("Stated total less the lines, tax and credits", 1_850, label="Stated less lines"),
    "invoice_gap": choice(
        "How it is known: a number of the series is missing, or none came when the carrier usually bills",
        "number",
        INVOICE_GAPS,
        label="Known by",
    ),
    "after_invoice_number": text("Last invoice before it", "NL-10421", label="Invoice before"),
    "after_on": date("Date of the last invoice before it", "2026-09-07", label="Dated"),
    "before_invoice_number": text("First invoice after it", "NL-10423", label="Invoice after"),
    "before_on": date("Date of the first invoice after it", "2026-09-21", label="Invoice after dated"),
    "missing_numbers": text("Numbers of the series that no file brought", "NL-10422"),
    "missing_invoice_count": count("Invoices missing", 1, least=1, label="Invoices missing"),
    "expected_on": date("Day on which the first of them was to be expected", "2026-09-14", label="Expected about"),
    "usual_interval_days": count("Days that usually lie between two of the carrier's invoices", 7, least=1),
    "numbered_count": count("Steps from one number of the carrier's series to the next", 41),
    "followed_count": count("Of these, steps without a missing number", 40),
    "waiting_from_on": date("Parcels shipped from this day on count as waiting for it", "2026-09-01"),
    "waiting_to_on": date("Parcels shipped until this day count as waiting for it", "2026-09-20"),
    "waiting_count": count("The carrier's parcels of that time without a bill", 17, label="Parcels waiting"),
    "waiting_valued_count": count("Of these, parcels whose carriage a tariff expects", 17, label="Of these, priced"),
    "waiting_cents": cents("Carriage that the tariff expects for them", 31_200, label="Carriage expected"),
    "recovery_id": text("The dispute or claim", "NL40017733/wrong-zone", label="Dispute or claim"),
    "recovery_kind": choice("Whether a dispute was won or a claim granted", "dispute", RECOVERY_KINDS, label="Kind"),
    "granted_on": date("Day on which the carrier agreed", "2026-10-21", label="Granted on"),
    "granted_cents": cents("What the carrier agreed to pay", 18_900, known_as="[claim] granted [amount]"),
    "received_cents": cents("Credited or paid so far", 0),
    "owed_cents": cents("Granted and neither credited nor paid", 18_900, label="Still owed"),
}
