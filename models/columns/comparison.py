"""Columns of the comparison of an announced tariff with the past."""

from __future__ import annotations

from models.fields import Definition, cents, choice, count, signed_cents, signed_fraction, text

CROSSINGS = ("newly charged", "no longer charged")

COMPARISON: dict[str, Definition] = {
    "compared_count": count("Parcels that both tariffs price", 5106, label="Priced by both"),
    "before_cents": signed_cents("By the tariff of their own day of shipping", 9_800_000, label="Own tariff"),
    "after_cents": signed_cents("By the announced tariff", 10_400_000, label="Announced"),
    "change_cents": signed_cents("Announced less own tariff", 600_000),
    "change_share": signed_fraction("Change as a share of what it was before", 0.061, label="Change, share"),
    "learned_count": count("Parcels whose price is learned from bills, by either tariff", 812, label="Learned prices"),
    "within_cents": cents(
        "How far the change may be off: every learned price off by its 95 percent interval, all the same way",
        41_000,
        label="Either way",
    ),
    "before_parcel_count": count("Parcels charged it by the tariff of their day", 1210, label="Charged before"),
    "after_parcel_count": count("Parcels charged it by the announced tariff", 1340, label="Charged after"),
    "term_number": count("Place of the term in the offer; all together come last", 1, least=1),
    "term": text("Term of the offer, as it was written", "divisor=166"),
    "alone_cents": signed_cents("Changes of the terms so far, each alone, added up", -60_000, label="Alone, added"),
    "changed_count": count("Parcels that the term makes cheaper or dearer", 812, label="Parcels changed"),
    "crossing": choice(
        "Whether the parcel is newly charged the surcharge, or no longer",
        "newly charged",
        CROSSINGS,
        label="Threshold crossed",
    ),
}
