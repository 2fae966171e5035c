"""Columns of labels: what was bought and typed before a parcel was sent. Nothing typed is a measurement."""

from __future__ import annotations

from models.fields import Definition, cents, count, date, flag, inches, pounds, signed_cents

LABELS: dict[str, Definition] = {
    "bought_on": date("Day the label was bought", "2026-10-04", known_as="[parcel/sold] date, [parcel] created [date]"),
    "quoted_cents": cents(
        "Postage quoted when the label was bought",
        1840,
        known_as="[quoted/parcel] postage [cost/price], quoted price, parcel cost/price",
    ),
    "insured_cents": cents("Value insured with the label", 18900, known_as="insured [value]"),
    "is_voided": flag("Whether the label was voided: it costs nothing and sends nothing", False, known_as="voided"),
    "first_scan_on": date(
        "Day of the carrier's first scan; empty while there is none",
        "2026-10-05",
        known_as="first scan [date], first scanned",
    ),
    "typed_weight_lb": pounds("Weight typed before sending; never taken as measured", 11.0, known_as="[parcel] weight"),
    "typed_length_in": inches(
        "Longest side typed before sending; never taken as measured", 48.0, known_as="[parcel] length"
    ),
    "typed_width_in": inches(
        "Second side typed before sending; never taken as measured", 8.0, known_as="[parcel] width"
    ),
    "typed_height_in": inches(
        "Shortest side typed before sending; never taken as measured", 8.0, known_as="[parcel] height"
    ),
    "above_quote_cents": signed_cents(
        "Billed for the parcel with all surcharges and corrections, less the postage quoted", 340
    ),
    "above_quote_count": count("Parcels billed above their quote", 12, label="Billed above quote"),
    "is_heavier": flag("Whether it was billed at least 1 lb heavier than typed; no measurement says which is so", True),
    "is_larger": flag("Whether it was billed at least 1 in longer than typed; no measurement says which is so", True),
    "heavier_count": count(
        "Parcels billed at least 1 lb heavier than typed; no measurement says which is so",
        7,
        label="Billed heavier than typed",
    ),
    "larger_count": count(
        "Parcels billed at least 1 in longer than typed; no measurement says which is so",
        5,
        label="Billed longer than typed",
    ),
    "label_count": count("Labels that were paid for", 412, label="Labels"),
    "scanned_count": count("Labels that show a carrier's scan", 398, label="Scanned"),
    "unscanned_days": count("Days from buying the label to the latest day in the label history", 18),
    "refund_by_on": date(
        "Last day on which the carrier refunds an unused label; empty where no tariff states the term",
        "2026-11-03",
    ),
    "refund_days_left": count(
        "Days until that day, from the latest day in the label history; below zero where it is past",
        12,
        least=-40_000,
        label="Days left for the refund",
    ),
}
