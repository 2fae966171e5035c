"""Columns of a carrier's invoice lines."""

from __future__ import annotations

from models.fields import Definition, choice, inches, pounds, signed_cents, text

CHARGE_KINDS = ("base", "fuel", "surcharge", "adjustment", "tax", "credit")

CHARGES: dict[str, Definition] = {
    "invoice_number": text("Number of the invoice", "NL-2026-10-2", known_as="invoice/document [number/reference]"),
    "charge_code": text(
        "Carrier's word for the charge",
        "LONG SIDE",
        known_as="[cost] charge [code/description/type], code, description, fee",
    ),
    "charge_kind": choice(
        "Kind of charge; empty on an invoice where `charge_codes` gives it",
        "surcharge",
        CHARGE_KINDS,
        built=("unmapped",),
        known_as="[charge/cost] kind, cost type, type",
    ),
    "surcharge": text("The surcharge's name in the tariff", "long side"),
    "amount_cents": signed_cents(
        "Amount of the charge; credits are negative", 1850, known_as="[charge/billed] [net] amount, net, charge"
    ),
    "billed_weight_lb": pounds("Weight billed", 23.0, zero=True, known_as="[billed/charged] weight"),
    "billed_length_in": inches("Longest side billed", 49.0, known_as="[billed] length [side], side 1"),
    "billed_width_in": inches("Second side billed", 8.0, known_as="[billed] width [side], side 2"),
    "billed_height_in": inches(
        "Shortest side billed", 8.0, known_as="[billed] height [side], [billed] shortest side, side 3"
    ),
}
