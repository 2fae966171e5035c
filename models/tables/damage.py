"""Contracts of exposure and claims, and of what is computed of them: rates, decisions, changes, trials, alarms."""

from models.contracts import Contract, contract
from models.provenance import SURCHARGES, MadeFrom, claims, itself

CELL = "item_type packing_method"
RATE = "exposure claim_count crude_claim_rate damage_rate damage_rate_low damage_rate_high"
_METHODS = "item_type usual_method other_method"
_WATCHED = MadeFrom("watched_parcels", "cause week_on", amount="b.amount_cents", is_among=True)

DAMAGE: tuple[Contract, ...] = (
    contract(
        "marts.exposure_cells",
        f"shipped_on {CELL} carrier service zone_band | parcel_count damage_count loss_count other_claim_count",
        made_from=MadeFrom("core.parcels", where="(b.has_bench_log or b.has_charges)"),
    ),
    contract(
        "marts.claim_losses",
        f"claim_id | parcel_id {CELL} carrier service zone_band shipped_on opened_on reporting_lag_days claim_cause "
        "claim_state claimed_cents? paid_cents? claim_cost_cents",
        made_from=itself("claimed_cents"),
    ),
    contract(
        "marts.claim_deadlines",
        "claim_id | parcel_id item_type carrier claim_cause claim_task shipped_on? opened_on filed_on? decided_on? "
        "claim_due_on? days_left? days_waiting? is_in_time? claimed_cents? paid_cents open_cents",
        made_from=itself("open_cents"),
    ),
    contract(
        "analysis.claim_steps",
        "claim_id | parcel_id item_type carrier claim_cause claim_state claim_step step_due_on is_in_time open_cents",
        "One row per open claim whose next step has a deadline.",
        made_from=itself("open_cents"),
    ),
    contract(
        "marts.weekly_charges",
        "carrier item_type service shipped_month week_on | parcel_count charged_count billed_cents",
        made_from=MadeFrom(
            "marts.parcel_costs",
            "carrier item_type shipped_month",
            "billed_cents",
            "case when b.base_cents <> 0 then b.billed_cents else 0 end",
            "(p.has_bench_log or p.has_charges) and coalesce(b.service, 'unknown') = r.service "
            "and cast(date_trunc('week', b.shipped_on) as date) = r.week_on",
        ),
    ),
    contract(
        "marts.weekly_surcharges",
        "carrier surcharge item_type service shipped_month week_on | charged_parcel_count",
        made_from=MadeFrom(
            "core.charge_lines",
            "p.carrier item_type shipped_month",
            amount="b.amount_cents",
            where=f"{SURCHARGES} and b.amount_cents > 0 and coalesce(b.surcharge, b.charge_code) = r.surcharge "
            "and coalesce(p.service, 'unknown') = r.service "
            "and cast(date_trunc('week', p.shipped_on) as date) = r.week_on",
        ),
    ),
    contract(
        "shop.decisions",
        "decision_id item_type | change_made reason_given change_reason changed_on expected_ratio",
        "One row per logged change and item type; kept by the shop in decisions.toml.",
    ),
    contract("shop.acknowledgements", "alarm_id |", "One row per alarm that somebody has seen."),
    contract(
        "analysis.method_carriage",
        "parcel_id packing_method | item_type clearance_in carton_code cut_height_in? carton_cents "
        "cut_and_fill_cents postage_cents?",
        "One row per sampled parcel and packing method: the carton it would need and what it would cost to send.",
        made_from=itself("postage_cents"),
    ),
    contract(
        "analysis.reporting_lag",
        "age_days | reported_share reported_low reported_high curve_source is_default is_drifting claim_count "
        "late_claim_count impossible_claim_count claims_to claims_to_source claims_to_stated? last_claim_on? "
        "records_to window_days wanted_days",
        "One row per age of a parcel in days: the share of claims reported by then.",
        made_from=claims("", "date_diff('day', p.shipped_on, b.opened_on) <= r.age_days"),
    ),
    contract(
        "analysis.damage_rates",
        f"{CELL} | parcel_count {RATE} shrunk_rate shrunk_low shrunk_high is_too_few",
        "One row per item type and packing method.",
        made_from=claims(),
    ),
    contract(
        "analysis.monthly_damage",
        f"shipped_month | parcel_count {RATE} reported_share shrunk_rate? shrunk_low? shrunk_high?",
        "One row per month of shipping: damage as it stands and corrected for claims still to come.",
        made_from=claims(),
    ),
    contract(
        "analysis.method_comparison",
        "method_a method_b | claim_count crude_ratio adjusted_ratio ratio_low ratio_high odds_ratio logistic_ratio? "
        "logistic_low? logistic_high? pooled_ratio pooled_low pooled_high p_value q_value homogeneity_p? is_different "
        "is_entangled is_reversed is_unlike is_corrected is_too_few strata_count",
        "One row per pair of packing methods used on the same goods.",
        made_from=claims("", "(p.packing_method = r.method_a or p.packing_method = r.method_b)"),
    ),
    contract(
        "analysis.severity",
        f"{CELL} | claim_count gross_loss_cents recovered_share severity_cents severity_low_cents severity_high_cents",
        "One row per item type and packing method: what a damaged parcel costs.",
        made_from=claims(),
    ),
    contract(
        "analysis.packing_decision",
        f"{CELL} | method_parcel_count is_current is_best packing_cents method_carriage_cents carriage_change_cents "
        "same_parcels_rate expected_damage_cents total_cents total_low_cents total_high_cents "
        "cheapest_chance yearly_gain_cents gain_low_cents gain_high_cents break_even_rate current_method best_method "
        "best_chance best_gain_cents best_gain_low_cents best_gain_high_cents wait_parcels? trial_parcels? "
        "information_cents yearly_parcel_count volume_days sampled_parcel_count packing_verdict is_carriage_rated "
        "more_damaged_count",
        "One row per item type and packing method: what a parcel costs with each, and what follows.",
        made_from=claims(),
    ),
    contract(
        "analysis.change_judgements",
        "decision_id | change_made reason_given change_reason item_types changed_on expected_ratio measured_ratio? "
        "measured_low? measured_high? likely_ratio? likely_low? likely_high? claims_expected claims_seen has_control "
        "verdict judged_on look_count planned_look_count is_final changed_again_on?",
        "One row per logged change: what it did to damage, against item types left alone.",
        made_from=claims(
            "",
            "p.shipped_on >= cast(r.changed_on - interval '365' day as date) and p.shipped_on <= r.judged_on and "
            "exists (select 1 from shop.decisions as d where d.decision_id = r.decision_id "
            "and d.item_type = p.item_type)",
        ),
    ),
    contract(
        "analysis.watched_weeks",
        "cause chart week_on | seen expected score chart_limit is_alarm",
        "One row per cause and week watched: what was seen, what was to be expected, where the chart stands.",
        made_from=_WATCHED,
    ),
    contract(
        "analysis.alarms",
        "alarm_id | cause chart week_on seen expected quiet_weeks is_acknowledged span_week_count? span_claim_count? "
        "span_expected_claims? seen_share? expected_share? excess_share?",
        "One row per cause that signalled in the weeks watched: its first signal.",
        made_from=_WATCHED,
    ),
)

# The log of trials, what they found, and which are worth one.
TRIALS: tuple[Contract, ...] = (
    contract(
        "shop.trials",
        f"trial_id | {_METHODS} assigned_by started_on planned_end_on ended_on? expected_ratio",
        "One row per trial at the bench; kept by the shop in trials.toml.",
    ),
    contract(
        "analysis.trials",
        f"trial_id | {_METHODS} assigned_by started_on planned_end_on ended_on? expected_ratio trial_state "
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
