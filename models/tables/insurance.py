"""Contracts of insuring parcels, and of claims that are one more of a pattern."""

from __future__ import annotations

from models.contracts import Contract, contract
from models.made_from import MadeFrom, claims

INSURANCE: tuple[Contract, ...] = (
    contract(
        "core.insured_parcels",
        "parcel_id | shipped_on shipped_month item_type worth_cents worth_from_cents has_fragile is_insured "
        "premium_cents is_claimed is_claim_decided lost_cents paid_cents",
    ),
    contract(
        "marts.insurance_ledger",
        "item_type worth_from_cents | parcel_count insured_parcel_count premium_cents claim_count insured_claim_count "
        "paid_claim_count refused_claim_count lost_cents paid_cents",
        made_from=MadeFrom("core.insured_parcels", sums="lost_cents"),
    ),
    contract(
        "analysis.insurance_rules",
        "least_worth_cents is_fragile_only | parcel_count premium_cents claim_count lost_cents brought_cents? "
        "net_cents? net_low_cents? net_high_cents? decided_insured_count decided_other_count is_too_few",
        "One row per rule of insuring: from which worth on, and whether fragile goods only.",
        made_from=MadeFrom(
            "core.insured_parcels",
            "",
            amount="b.lost_cents",
            where="b.worth_from_cents >= r.least_worth_cents and (b.has_fragile or not r.is_fragile_only)",
            is_among=True,
        ),
    ),
    contract(
        "analysis.damage_patterns",
        "reported_month item_type packing_method carton_code carrier | claim_count claim_ids like_count "
        "like_damaged_count other_count other_damaged_count pattern_chance? corrected_chance? settled_count? "
        "is_pattern",
        "One row per month of report, item type, packing method, carton and carrier with a claim for damage.",
        made_from=claims(
            "",
            "b.claim_cause = 'damage' and p.item_type = r.item_type and p.carrier = r.carrier "
            "and coalesce(p.packing_method, 'unknown') = r.packing_method "
            "and coalesce(p.carton_code, 'unknown') = r.carton_code "
            "and cast(date_trunc('month', b.opened_on) as date) = r.reported_month",
        ),
    ),
)
