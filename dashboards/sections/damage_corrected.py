"""Damage corrected for late claims: rates, methods on the same goods, and which method pays."""

from __future__ import annotations

import pandas as pd

from dashboards import curves, intervals, stacks
from dashboards.parts import Frame, Panel, Review, Section, all_columns, every_row
from dashboards.pictures import Limit, Picture
from dashboards.sentences.damage import PAIRS, RATES
from dashboards.sentences.decisions import DECISIONS

MONTHS, LAGS, SEVERITY = "analysis.monthly_damage", "analysis.reporting_lag", "analysis.severity"
EACH_DAYS = 10
AS_OFTEN = Limit(1.0, "equal")
NO_PARCEL = ("damage.no_parcel",)


def used(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: item types and methods, those with most claims first; without a known one they are in the workbook."""
    known = rows[(rows["packing_method"] != "unknown") & (rows["item_type"] != "unknown")]
    return known.sort_values(["claim_count", "item_type", "packing_method"], ascending=[False, True, True])


def several(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: item types with more than one method to choose from, the one with most to gain first."""
    found = rows[rows.groupby("item_type")["packing_method"].transform("size") > 1]
    gain = found.groupby("item_type")["yearly_gain_cents"].transform("max").fillna(0)
    order = found.assign(gain=gain).sort_values(["gain", "item_type", "total_cents"], ascending=[False, True, True])
    return found.loc[order.index]


def to_month(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: months up to the one reviewed and those after it that the records already know, oldest first."""
    return rows.sort_values("shipped_month").tail(18)


def some_ages(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: every tenth day."""
    return rows[rows["age_days"] % EACH_DAYS == 0]


def draw_rates(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Corrected rate with its limits, the crude rate as a hollow mark beside it."""
    by = ["item_type", "packing_method"]
    limits = ("damage_rate_low", "damage_rate_high")
    return intervals.interval_points(rows, frame, by, "damage_rate", *limits, beside="crude_claim_rate")


def draw_pairs(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Pooled ratio with its limits, the crude ratio as a hollow mark beside it."""
    by = ["method_a", "method_b"]
    return intervals.interval_points(
        rows, frame, by, "pooled_ratio", "pooled_low", "pooled_high", "crude_ratio", [AS_OFTEN]
    )


def draw_costs(rows: pd.DataFrame, frame: Frame) -> Picture:
    """What a parcel costs with each method, piece by piece."""
    parts = ("packing_cents", "method_carriage_cents", "expected_damage_cents")
    return stacks.stacked_rows(rows, frame, ["item_type", "packing_method"], parts, "total_cents")


def draw_months(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Adjusted and crude rate by month of shipping."""
    return curves.time_lines(rows, frame, ["shrunk_rate", "crude_claim_rate"])


def draw_lags(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Share of claims reported by age."""
    return curves.steps(rows, frame, "age_days", "reported_share")


SECTION = Section(
    order=60,
    chapter="damage",
    name="damage-corrected",
    title="Damage by packing method",
    lead=(
        *("damage.lag", "damage.lag_assumed", "damage.lag_drifts", "damage.within"),
        *("damage.within_counted", "damage.limits"),
        *("damage.claims_end_stated", "damage.claims_end_imported", "damage.claims_end_newest"),
        "damage.claims_end_passed",
        *("damage.carriage_rated", "damage.carriage_alike", "methods.reversed", "methods.entangled", "methods.unlike"),
        *("decision.use", "decision.use_sure", "decision.choice", "decision.wait", "decision.wait_too_long"),
        "decision.wait_not_known",
    ),
    parts=(
        Panel(
            name="damage-rates",
            title="Damage rate by item type and packing method",
            table=RATES,
            columns=all_columns(RATES, but="exposure"),
            foremost=(
                *("item_type", "packing_method", "parcel_count", "claim_count", "damage_rate", "damage_rate_low"),
                "damage_rate_high",
            ),
            choose=used,
            draw=draw_rates,
            draws_shares=True,
            when_empty=NO_PARCEL,
            note=("damage.marks",),
        ),
        Panel(
            name="damage-pairs",
            title="Methods compared, adjusted for what went with them",
            table=PAIRS,
            columns=(
                *("method_a", "method_b", "claim_count", "crude_ratio", "pooled_ratio", "pooled_low", "pooled_high"),
                *("adjusted_ratio", "ratio_low", "ratio_high"),
                *("logistic_ratio", "q_value", "homogeneity_p", "is_different", "is_too_few", "strata_count"),
            ),
            choose=every_row,
            draw=draw_pairs,
            when_empty=("methods.none",),
            note=("methods.marks",),
        ),
        Panel(
            name="damage-costs",
            title="What a parcel costs with each method",
            table=DECISIONS,
            columns=(
                *("item_type", "packing_method", "is_current", "packing_cents", "method_carriage_cents"),
                *("expected_damage_cents", "total_cents", "cheapest_chance", "yearly_gain_cents", "gain_low_cents"),
                *("gain_high_cents", "same_parcels_rate", "break_even_rate", "wait_parcels", "trial_parcels"),
            ),
            foremost=(
                *("item_type", "packing_method", "is_current", "total_cents", "cheapest_chance", "yearly_gain_cents"),
            ),
            choose=several,
            draw=draw_costs,
            when_empty=("decision.no_choice",),
            note=("decision.means",),
        ),
        Panel(
            name="damage-by-month",
            title="Damage rate by month of shipping",
            table=MONTHS,
            columns=(
                *("shipped_month", "parcel_count", "claim_count", "reported_share", "crude_claim_rate"),
                *("shrunk_rate", "shrunk_low", "shrunk_high"),
            ),
            choose=to_month,
            draw=draw_months,
            draws_shares=True,
            when_empty=NO_PARCEL,
            is_folded=True,
        ),
        Panel(
            name="damage-lags",
            title="How late claims come",
            table=LAGS,
            columns=("age_days", "reported_share", "reported_low", "reported_high", "curve_source", "claim_count"),
            choose=some_ages,
            draw=draw_lags,
            when_empty=("damage.no_claim",),
            is_folded=True,
        ),
        Panel(
            name="damage-severity",
            title="What a damaged parcel costs, net of recovery",
            table=SEVERITY,
            columns=all_columns(SEVERITY),
            choose=used,
            when_empty=NO_PARCEL,
            note=("damage.severity",),
            is_folded=True,
        ),
    ),
)
