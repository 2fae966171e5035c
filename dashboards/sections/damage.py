"""Damage claims by item type and packing method, as reported: crude."""

from __future__ import annotations

import pandas as pd

from dashboards import figures, stacks
from dashboards.parts import Frame, Panel, Review, Section, all_columns, in_month
from dashboards.pictures import Picture
from dashboards.sections.trend import MONTHS_SHOWN

BY_METHOD, BY_ITEM, BY_MONTH = "marts.packing_method_year", "marts.damage_year", "marts.damage_counts"
CLAIMS = (
    "parcel_count",
    "damage_count",
    "loss_count",
    "other_claim_count",
    "crude_damage_rate",
    "damage_net_cents",
)


def worst_method_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the year that ends with the month, the highest crude rate first."""
    return in_month(rows, review.month).sort_values("crude_damage_rate", ascending=False, kind="stable")


def by_item_and_method(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the year that ends with the month, by item type and packing method."""
    return in_month(rows, review.month).sort_values(["item_type", "packing_method"], kind="stable")


def months_with_claims(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: rows of the last months that have a damage claim, newest month first."""
    last = pd.Timestamp(review.month)
    first = last - pd.DateOffset(months=MONTHS_SHOWN - 1)
    recent = rows[rows["shipped_month"].between(first, last) & (rows["damage_count"] > 0)]
    return recent.sort_values(["shipped_month", "item_type", "packing_method"], ascending=[False, True, True])


def draw_methods(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Crude rate, one bar per packing method."""
    return figures.ranked_bars(rows, frame, ["packing_method"], "crude_damage_rate")


def draw_items(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Crude rate, one cell per item type and packing method."""
    return stacks.grid(rows, frame, "item_type", "packing_method", "crude_damage_rate")


def draw_months(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Damage claims by month of shipping, stacked by packing method."""
    return stacks.stacked_months(rows, frame, "damage_count", "packing_method")


SECTION = Section(
    order=60,
    chapter="damage",
    name="damage",
    title="Damage by packing method, crude",
    replaced_by="analysis.damage_rates",
    lead=("damage.crude_means", "damage.none_in_year", "damage.cost_by_claim"),
    parts=(
        Panel(
            name="damage-methods",
            title="Twelve months: damage claims over parcels, by packing method, crude",
            table=BY_METHOD,
            columns=all_columns(BY_METHOD, but="shipped_month"),
            choose=worst_method_first,
            draw=draw_methods,
            draws_shares=True,
            when_empty=("damage.no_parcel",),
        ),
        Panel(
            name="damage-items",
            title="Twelve months: damage claims over parcels, by item type and packing method, crude",
            table=BY_ITEM,
            columns=all_columns(BY_ITEM, but="shipped_month"),
            choose=by_item_and_method,
            draw=draw_items,
            draws_shares=True,
            when_empty=("damage.no_parcel",),
            note=("damage.few_parcels",),
        ),
        Panel(
            name="damage-months",
            title="Damage claims by month of shipping",
            table=BY_MONTH,
            columns=all_columns(BY_MONTH),
            choose=months_with_claims,
            draw=draw_months,
            when_empty=("damage.no_claim",),
            note=("damage.months",),
            is_folded=True,
        ),
    ),
)
