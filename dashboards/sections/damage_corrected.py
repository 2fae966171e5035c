"""Damage corrected for late claims: rates, methods on the same goods, and which method pays."""

from __future__ import annotations

import pandas as pd

from dashboards import curves, damage_words, figures, intervals, stacks
from dashboards.damage_words import DECISIONS, LIMITS, PAIRS, RATES
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, all_columns, every_row, say

MONTHS, LAGS, SEVERITY = "analysis.monthly_damage", "analysis.reporting_lag", "analysis.severity"
EACH_DAYS = 10
NO_PARCEL = "No parcel is on record, so no rate can be shown."


def lead(review: Review) -> Sentence:
    """How claims are counted, where crude figures mislead, what would pay."""
    lags = review.table(LAGS)
    source = say("Rates allow for claims still to come; the curve is {curve_source}. ", LAGS, lags) if len(lags) else ()
    costs = review.table(DECISIONS)
    rated = say("Carton and postage of each method: {carriage_note}. ", DECISIONS, costs) if len(costs) else ()
    reported = (
        *damage_words.each_disagreement(review.table(PAIRS)),
        *damage_words.each_verdict(_to_change(costs)),
    )
    return (*source, LIMITS, *rated, *(part for sentence in reported for part in sentence))


def _to_change(rows: pd.DataFrame) -> pd.DataFrame:
    """The item types for which another method is worth a thought."""
    return rows[rows["packing_verdict"].isin(["use", "wait"])] if len(rows) else rows


def used(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: item types and methods by name; parcels without a known one are in the workbook."""
    known = (rows["packing_method"] != "unknown") & (rows["item_type"] != "unknown")
    return rows[known].sort_values(["item_type", "packing_method"], kind="stable")


def several(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: item types with more than one method to choose from."""
    return rows[rows.groupby("item_type")["packing_method"].transform("size") > 1]


def to_month(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: months up to the one reviewed and those after it that the records already know, oldest first."""
    return rows.sort_values("shipped_month").tail(18)


def some_ages(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: every tenth day."""
    return rows[rows["age_days"] % EACH_DAYS == 0]


def draw_rates(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Corrected rate with its limits, the crude rate as a hollow mark beside it."""
    by = ["item_type", "packing_method"]
    limits = ("damage_rate_low", "damage_rate_high")
    return intervals.interval_points(rows, frame, by, "damage_rate", *limits, beside="crude_claim_rate")


def draw_pairs(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Adjusted ratio with its limits, the crude ratio as a hollow mark beside it."""
    by = ["method_a", "method_b"]
    return intervals.interval_points(rows, frame, by, "adjusted_ratio", "ratio_low", "ratio_high", beside="crude_ratio")


def draw_costs(rows: pd.DataFrame, frame: Frame) -> Figure:
    """What a parcel costs with each method, piece by piece."""
    parts = ("packing_cents", "method_carriage_cents", "expected_damage_cents")
    return stacks.stacked_rows(rows, frame, ["item_type", "packing_method"], parts)


def draw_months(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Corrected and crude rate by month of shipping."""
    return figures.month_lines(rows, frame, ["damage_rate", "crude_claim_rate"])


def draw_lags(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Share of claims reported by age."""
    return curves.curve(rows, frame, "age_days", "reported_share")


SECTION = Section(
    order=60,
    name="damage-corrected",
    title="Damage by packing method",
    lead=lead,
    parts=(
        Panel(
            name="damage-rates",
            title="Damage rate by item type and packing method",
            table=RATES,
            columns=all_columns(RATES, but="exposure"),
            choose=used,
            draw=draw_rates,
            when_empty=NO_PARCEL,
            note=(
                "Solid: corrected for claims still to come. Hollow: as it stands. Adjusted rate: towards the item "
                "type's, as far as few parcels say little. Too few to go by: fewer than five claims seen and fewer "
                "than five expected at the item type's rate. "
            )
            + LIMITS,
        ),
        Panel(
            name="damage-pairs",
            title="Methods compared on the same goods, equally far",
            table=PAIRS,
            columns=(
                *("method_a", "method_b", "claim_count", "crude_ratio", "adjusted_ratio", "ratio_low", "ratio_high"),
                *("logistic_ratio", "q_value", "homogeneity_p", "is_different", "is_too_few", "strata_count"),
            ),
            choose=every_row,
            draw=draw_pairs,
            when_empty="No two packing methods were used on the same goods, so none can be compared.",
            note="Below 1 the first method breaks less. Solid: within item type and zone. Hollow: thrown together.",
        ),
        Panel(
            name="damage-costs",
            title="What a parcel costs with each method",
            table=DECISIONS,
            columns=(
                *("item_type", "packing_method", "is_current", "packing_cents", "method_carriage_cents"),
                *("expected_damage_cents", "total_cents", "cheapest_chance", "yearly_gain_cents", "gain_low_cents"),
                *("gain_high_cents", "damage_rate", "break_even_rate", "wait_parcels", "trial_parcels"),
            ),
            choose=several,
            draw=draw_costs,
            when_empty=(
                "No item type has two packing methods with enough parcels and a cost on record, so there is no choice "
                "to weigh."
            ),
            note=(
                "Methods with few parcels of an item type are left out: their rate would be the item type's own. "
                "Carton and postage are of the same parcels under every method, in the best carton from stock."
            ),
        ),
        Panel(
            name="damage-by-month",
            title="Damage rate by month of shipping",
            table=MONTHS,
            columns=(
                *("shipped_month", "parcel_count", "claim_count", "reported_share", "crude_claim_rate"),
                *("damage_rate", "damage_rate_low", "damage_rate_high"),
            ),
            choose=to_month,
            draw=draw_months,
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
            when_empty="No claim is on record, so no curve can be drawn.",
            is_folded=True,
        ),
        Panel(
            name="damage-severity",
            title="What a damaged parcel costs, net of recovery",
            table=SEVERITY,
            columns=all_columns(SEVERITY, but="cap_cents"),
            choose=used,
            when_empty=NO_PARCEL,
            note="Few claims are drawn towards the item type's and the shop's mean; the shop's whole loss is kept.",
            is_folded=True,
        ),
    ),
)
