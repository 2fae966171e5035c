"""Columns that count parcels, and rates of them."""

from __future__ import annotations

from models.fields import Definition, count, fraction

COUNTS: dict[str, Definition] = {
    "parcel_count": count("Parcels", 341, label="Parcels"),
    "charged_parcel_count": count("Parcels that were charged it", 42, label="Parcels charged"),
    "damage_count": count("Parcels with a claim for damage", 6, label="Damage claims"),
    "loss_count": count("Parcels with a claim for loss", 1, label="Loss claims"),
    "other_claim_count": count("Parcels with any other claim", 0, label="Other claims"),
    "surcharge_rate": fraction("Share of the carrier's parcels charged it", 0.12, label="Share of parcels"),
    "crude_damage_rate": fraction("Damage claims over parcels, not corrected for claims to come", 0.018),
    "invoiced_share": fraction("Share of parcels with a base charge", 0.97, label="Share invoiced"),
    "benched_parcel_count": count("Parcels in the bench log", 338, label="In bench log"),
    "measured_parcel_count": count("Parcels with measured sides", 310, label="Measured"),
    "charged_count": count("Parcels with a base charge", 335, label="Parcels with base charge"),
    "checked_parcel_count": count("Parcels whose bill could be checked against a tariff", 331, label="Bills checked"),
    "sold_parcel_count": count("Parcels whose sale is known", 338, label="Sale known"),
    "dated_by_invoice_count": count(
        "Parcels that count in the month of their first invoice, as no record says when they were shipped",
        3,
        label="Dated by invoice",
    ),
    "dated_by_claim_count": count(
        "Parcels that count in the month in which their claim was reported, as no record says when they were shipped "
        "or billed",
        1,
        label="Dated by claim",
    ),
}
