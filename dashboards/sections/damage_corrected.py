"""Damage corrected for late claims: rates, methods on the same goods, and which method pays."""

import pandas as pd

from dashboards import curves, intervals, stacks
from dashboards.formats import UNNAMED
from dashboards.panels import Frame, Panel, Section, all_by, all_columns, drawn
from dashboards.pictures import Limit, Picture
from dashboards.review_tables import Review
from dashboards.sentences.damage import PAIRS, RATES, claimed
from dashboards.sentences.decisions import DECISIONS

MONTHS, LAGS, SEVERITY = "analysis.monthly_damage", "analysis.reporting_lag", "analysis.severity"
EACH_DAYS = 10
# What is to be done first; the last changes nothing.
VERDICTS = ("use", "choice", "wait", "too close", "keep")
GOODS = ["item_type", "packing_method"]
# Adjusted with its limits, and as reported, a hollow mark beside it.
RATE = ("damage_rate", "damage_rate_low", "damage_rate_high", "crude_claim_rate")
RATIO = ("pooled_ratio", "pooled_low", "pooled_high", "crude_ratio")
COSTS = ["packing_cents", "method_carriage_cents", "expected_damage_cents"]
AS_OFTEN = Limit(1.0, "equal")
NO_PARCEL = ("damage.no_parcel",)


def used(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: item types and methods, those with most claims first; without a known method only item types that have
    none at all."""
    goods = rows[rows["item_type"] != UNNAMED]
    is_packed = goods["packing_method"] != UNNAMED
    known = goods[is_packed | ~is_packed.groupby(goods["item_type"]).transform("any")]
    return known.sort_values(["claim_count", "item_type", "packing_method"], ascending=[False, True, True])


def told_apart(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: pairs of methods with a claim between them; without one the ratio says how it is reckoned, no more."""
    return claimed(rows)


def several(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: item types with more than one method to choose from, the one with most to gain first."""
    found = rows[rows.groupby("item_type")["packing_method"].transform("size") > 1]
    gain = found.groupby("item_type")["yearly_gain_cents"].transform("max").fillna(0)
    order = found.assign(gain=gain).sort_values(["gain", "item_type", "total_cents"], ascending=[False, True, True])
    return found.loc[order.index]


def verdicts(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: what follows for each item type with a choice, changes first, those with most to gain before others."""
    found = rows[rows["is_best"].astype(bool) & rows["packing_verdict"].isin(VERDICTS)]
    order = found.assign(place=found["packing_verdict"].map(VERDICTS.index))
    return found.loc[order.sort_values(["place", "best_gain_cents", "item_type"], ascending=[True, False, True]).index]


def to_month(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: months up to the one reviewed and those after it that the records already know, oldest first."""
    return rows.sort_values("shipped_month").tail(18)


def draw_verdicts(rows: pd.DataFrame, frame: Frame) -> Picture:
    """What another method may be counted on to gain, with the limits of what it gains."""
    other = rows[rows["packing_verdict"] != VERDICTS[-1]]
    limits = ("best_gain_low_cents", "best_gain_high_cents")
    return intervals.interval_points(other, frame, ["item_type", "best_method"], "best_gain_cents", *limits)


SECTION = Section(
    order=60,
    chapter="damage",
    name="damage-corrected",
    title="Damage by packing method",
    lead="damage.lag damage.lag_counted damage.lag_assumed damage.lag_drifts damage.within damage.within_counted "
    "damage.limits damage.cost_by_claim damage.claims_end_stated damage.claims_end_imported damage.claims_end_newest "
    "damage.claims_end_passed damage.carriage_rated damage.carriage_alike decision.short_record methods.reversed "
    "methods.entangled methods.unlike decision.use decision.use_sure decision.choice decision.wait "
    "decision.wait_too_long decision.wait_not_known",
    parts=(
        Panel(
            "damage-rates",
            "Damage rate by item type and packing method",
            RATES,
            all_columns(RATES, but="exposure"),
            used,
            drawn(intervals.interval_points, GOODS, *RATE),
            foremost="item_type packing_method parcel_count claim_count damage_rate damage_rate_low damage_rate_high",
            draws_shares=True,
            counts_left_out=True,
            when_empty=NO_PARCEL,
            note="damage.marks",
        ),
        Panel(
            "damage-pairs",
            "Methods compared, adjusted for what went with them",
            PAIRS,
            "method_a method_b claim_count crude_ratio pooled_ratio pooled_low pooled_high adjusted_ratio "
            "ratio_low ratio_high logistic_ratio q_value homogeneity_p is_different is_too_few strata_count",
            told_apart,
            drawn(intervals.interval_points, ["method_a", "method_b"], *RATIO, [AS_OFTEN]),
            when_empty="methods.none methods.not_known methods.goods_unknown methods.no_claim",
            note="methods.marks",
        ),
        Panel(
            "damage-verdicts",
            "Which packing method to use, by item type",
            DECISIONS,
            "item_type packing_verdict current_method best_method best_gain_cents best_gain_low_cents "
            "best_gain_high_cents best_chance more_damaged_count yearly_parcel_count",
            verdicts,
            draw_verdicts,
            foremost="item_type packing_verdict best_method best_gain_cents best_chance",
            when_empty="decision.no_choice",
            note="decision.verdicts",
        ),
        Panel(
            "damage-costs",
            "What a parcel costs with each method",
            DECISIONS,
            "item_type packing_method is_current packing_cents method_carriage_cents expected_damage_cents "
            "total_cents cheapest_chance yearly_gain_cents gain_low_cents gain_high_cents same_parcels_rate "
            "break_even_rate wait_parcels trial_parcels",
            several,
            drawn(stacks.stacked_rows, GOODS, COSTS, "total_cents"),
            foremost="item_type packing_method is_current total_cents cheapest_chance yearly_gain_cents",
            when_empty="decision.no_choice",
            note="decision.means",
        ),
        Panel(
            "damage-by-month",
            "Damage rate by month of shipping",
            MONTHS,
            "shipped_month parcel_count claim_count reported_share crude_claim_rate shrunk_rate shrunk_low shrunk_high",
            to_month,
            drawn(curves.time_lines, ["shrunk_rate", "crude_claim_rate"]),
            draws_shares=True,
            when_empty=NO_PARCEL,
            is_folded=True,
        ),
        Panel(
            "damage-lags",
            "How late claims come",
            LAGS,
            "age_days reported_share reported_low reported_high curve_source claim_count",
            all_by("age_days", where=lambda rows: rows["age_days"] % EACH_DAYS == 0),
            drawn(curves.steps, "age_days", "reported_share"),
            when_empty="damage.no_claim",
            is_folded=True,
        ),
        Panel(
            "damage-severity",
            "What a damaged parcel costs, net of recovery",
            SEVERITY,
            all_columns(SEVERITY),
            used,
            when_empty=NO_PARCEL,
            note="damage.severity",
            is_folded=True,
        ),
    ),
)
