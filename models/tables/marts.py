"""Contracts of marts.*: what the review shows and the analysis reads; of returns, insurance and warnings."""

from dataclasses import replace

from models.contracts import Contract, contract
from models.money import columns_of
from models.provenance import LOSSES, SURCHARGES, MadeFrom, claims, itself, parcels

AMOUNTS = " ".join(columns_of("all"))

DAMAGE = "parcel_count damage_count loss_count other_claim_count crude_damage_rate damage_net_cents"

MARTS: tuple[Contract, ...] = (
    contract(
        "marts.parcel_costs",
        "parcel_id | is_account shipped_on? shipped_month carrier service? zone? item_type channel carton_code? "
        f"packing_method? piece_count {AMOUNTS}",
        made_from=itself("billed_cents"),
    ),
    contract(
        "marts.parcel_line_costs",
        f"parcel_id sale_id line_number | shipped_month item_type channel packed_quantity is_content_known {AMOUNTS}",
        made_from=itself("billed_cents"),
    ),
    contract(
        "marts.item_type_costs",
        f"shipped_month item_type | parcel_count piece_count {AMOUNTS} cost_per_piece_cents? margin_per_parcel_cents?",
        made_from=MadeFrom("marts.parcel_line_costs", sums="billed_cents"),
    ),
    contract(
        "marts.shipping_margin",
        f"shipped_month | parcel_count {AMOUNTS} carriage_per_parcel_cents? margin_per_parcel_cents? "
        "margin_change_cents?",
        made_from=parcels(),
    ),
    contract(
        "marts.margin_year",
        "shipped_month | from_month parcel_count billed_cents margin_cents",
        made_from=replace(parcels(), is_year=True),
    ),
    contract(
        "marts.surcharge_frequency",
        "shipped_month carrier surcharge | parcel_count charged_parcel_count surcharge_rate amount_cents",
        made_from=MadeFrom("core.charge_lines", "shipped_month p.carrier surcharge", "amount_cents", where=SURCHARGES),
    ),
    contract("marts.damage_counts", f"shipped_month item_type packing_method | {DAMAGE}", made_from=LOSSES),
    contract(
        "marts.damage_year",
        f"shipped_month item_type packing_method | {DAMAGE}",
        made_from=replace(LOSSES, is_year=True),
    ),
    contract(
        "marts.packing_method_year", f"shipped_month packing_method | {DAMAGE}", made_from=replace(LOSSES, is_year=True)
    ),
    contract(
        "marts.coverage",
        "shipped_month | parcel_count benched_parcel_count measured_parcel_count charged_count sold_parcel_count "
        "invoiced_share dated_by_invoice_count dated_by_claim_count",
        made_from=MadeFrom("core.parcels"),
    ),
    contract(
        "marts.record_states",
        "kind | row_count first_on? last_on? delivery_count landed_at? rejected_count",
        made_from=MadeFrom("record_parcels"),
    ),
    contract(
        "marts.returns",
        "return_id | parcel_id item_type carrier shipped_on shipped_month returned_on return_condition "
        "return_parcel_id? way_out_cents return_carriage_cents depreciation_cents resold_on? days_away days_unsold?",
        made_from=itself("depreciation_cents"),
    ),
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
    contract(
        "analysis.warnings",
        "warning | meaning row_count examples",
        "One row per check that found something to know but nothing to stop for.",
        made_from=MadeFrom("warned_parcels"),
    ),
)
