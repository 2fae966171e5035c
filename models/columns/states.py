"""Columns of the state of the records, and of the shop's settings."""

from __future__ import annotations

from models.fields import Definition, cents, count, number, text

STATES: dict[str, Definition] = {
    "kind": text("Record kind", "charges", label="Record kind"),
    "row_count": count("Rows", 18211, label="Rows"),
    "delivery_count": count("Deliveries imported", 19, label="Deliveries"),
    "rejected_count": count("Rejected rows still open", 4, label="Rejected, open"),
    "warning": text("Name of the check", "unknown cartons"),
    "meaning": text("What the check looks for", "Parcels whose carton has no catalogue entry"),
    "examples": text("The first rows found, cut short", "[{'parcel_id': 'NL40017733'}]"),
    "currency": text("Currency of all amounts", "USD"),
    "wage_cents_per_hour": cents("Wage", 2400),
    "sharing_divisor_in3_per_lb": number("Divisor for an item's own chargeable weight", 139.0, least=1),
}
