"""Contracts of trials at the bench: the shop's log of them, what they found, and which are worth one."""

from models.contracts import Contract, contract
from models.provenance import claims

METHODS = "item_type usual_method other_method"

TRIALS: tuple[Contract, ...] = (
    contract(
        "shop.trials",
        f"trial_id | {METHODS} assigned_by started_on planned_end_on ended_on? expected_ratio",
        "One row per trial at the bench; kept by the shop in trials.toml.",
    ),
    contract(
        "analysis.trials",
        f"trial_id | {METHODS} assigned_by started_on planned_end_on ended_on? expected_ratio trial_state "
        "usual_parcel_count tried_parcel_count usual_claim_count tried_claim_count unassigned_count followed_share? "
        "measured_ratio? measured_low? measured_high? likely_ratio? likely_low? likely_high? trial_verdict judged_on "
        "look_count planned_look_count",
        "One row per trial at the bench: what was found of the method tried, as assigned.",
        made_from=claims("item_type", "p.shipped_on >= r.started_on and p.shipped_on <= r.planned_end_on"),
    ),
    contract(
        "analysis.trial_proposals",
        "item_type other_method | usual_method trial_reason expected_ratio needed_parcel_count needed_days "
        "yearly_parcel_count more_packing_cents",
        "One row per item type and packing method that a trial could tell of.",
        made_from=claims("item_type"),
    ),
)
