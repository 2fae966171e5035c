"""Columns of the state of the records, and of the shop's settings."""

from __future__ import annotations

from models.fields import Definition, cents, choice, count, number, signed_cents, text

GAPS = ("sales without a parcel", "parcels without a bill", "bills without a sale", "claims without a parcel")

STATES: dict[str, Definition] = {
    "kind": text("Record kind", "charges", label="Record kind"),
    "row_count": count("Rows", 18211, label="Rows"),
    "delivery_count": count("Deliveries imported", 19, label="Deliveries"),
    "gap": choice("What is missing of the month's records", "parcels without a bill", GAPS, label="Missing"),
    "due_count": count("Records of the month that should have their counterpart", 376, label="Of"),
    "missing_count": count("Records without their counterpart", 17, label="Without"),
    "gap_cents": signed_cents(
        "Money of the record: shipping paid less refunds and fees, what is expected, billed or lost",
        3120,
    ),
    "missing_cents": signed_cents(
        "Their money: shipping paid less refunds and fees, what is expected, billed or lost",
        51200,
        label="Amount",
    ),
    "valued_count": count("Of those without, records whose amount is known", 17, label="Amount known"),
    "rejected_count": count("Rejected rows still open", 4, label="Rejected, open"),
    "warning": text("Name of the check", "unknown cartons"),
    "meaning": text("What the check looks for", "Parcels whose carton has no catalogue entry"),
    "examples": text("The first rows found, cut short", "[{'parcel_id': 'NL40017733'}]"),
    "currency": text("Currency of all amounts", "USD"),
    "wage_cents_per_hour": cents("Wage", 2400),
    "sharing_divisor_in3_per_lb": number("Divisor for an item's own chargeable weight", 139.0, least=1),
    "shown_length_unit": text("The unit in which the shop sees lengths", "cm"),
    "shown_length_factor": number("How many of it are one of the unit kept", 2.54, least=0),
    "shown_length_steps": count("Parts of it that are shown", 10, least=1),
    "shown_weight_unit": text("The unit in which the shop sees weights", "kg"),
    "shown_weight_factor": number("How many of it are one of the unit kept", 0.45359237, least=0),
    "shown_weight_steps": count("Parts of it that are shown", 100, least=1),
}
