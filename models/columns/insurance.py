"""Columns of insuring parcels, and of claims that are one more of a pattern."""

from __future__ import annotations

from models.fields import Definition, cents, count, date, flag, fraction, signed_cents, text

INSURANCE: dict[str, Definition] = {
    "worth_cents": cents("What the goods in the parcel were sold for", 18_900),
    "worth_from_cents": cents("Least worth of the band: what the goods in a parcel were sold for", 10_000),
    "least_worth_cents": cents("Worth from which the rule insures a parcel", 15_000, label="Insure from"),
    "is_fragile_only": flag("Whether the rule insures fragile goods only", True),
    "has_fragile": flag("Whether any of the goods is fragile", True),
    "is_insured": flag("Whether a premium was billed or the label was insured", True),
    "is_claimed": flag("Whether a claim for damage or loss is on record", False),
    "is_claim_decided": flag("Whether the carrier decided all its claims", False),
    "premium_cents": cents("Fee for insurance or a declared value", 125),
    "lost_cents": cents("Claimed, or spent on the buyer where nothing was claimed yet", 18_900),
    "brought_cents": signed_cents("What carriers would have paid more on insured parcels", 42_000),
    "net_cents": signed_cents(
        "What the rule would have brought less its premium", 12_000, label="Brought less premium"
    ),
    "net_low_cents": signed_cents(
        "Lower limit of that: all rules lie within their limits with a chance of 95 %", -8_000, label="At least"
    ),
    "net_high_cents": signed_cents(
        "Upper limit of that: all rules lie within their limits with a chance of 95 %", 41_000, label="At most"
    ),
    "insured_parcel_count": count("Parcels that were insured", 120, label="Insured"),
    "insured_claim_count": count("Claims on insured parcels", 4, label="Claims, insured"),
    "paid_claim_count": count("Claims that the carrier paid, in full or in part", 5, label="Claims paid"),
    "refused_claim_count": count("Claims that the carrier refused", 3, label="Claims refused"),
    "decided_insured_count": count("Decided claims on insured parcels, of all rules", 14, label="Decided, insured"),
    "decided_other_count": count("Decided claims on other parcels, of all rules", 22, label="Decided, others"),
    "reported_month": date("First day of the month in which the claims were reported", "2026-10-01", label="Month"),
    "claim_ids": text("Numbers of the claims, the first five", "CL-0231, CL-0240", label="Claims reported"),
    "like_count": count("Parcels with this item type, packing method, carton and carrier", 120, label="Parcels alike"),
    "like_damaged_count": count("Of these, damaged", 9, label="Damaged"),
    "other_count": count("Other parcels of the item type", 700, label="Others"),
    "other_damaged_count": count("Of these, damaged", 14, label="Others damaged"),
    "pattern_chance": fraction("Chance of as many or more damaged if these were no worse than the others", 0.004),
    "corrected_chance": fraction("The same, corrected for the number of groups compared", 0.031, label="Corrected"),
    "settled_count": count("Parcels of each kind that would settle it", 400, label="Would settle it"),
    "is_pattern": flag("Whether chance alone would seldom do it, corrected for the groups compared", True),
}
