"""What each item type cost to ship, and what was left."""

from __future__ import annotations

import pandas as pd

from dashboards import figures
from dashboards.parts import Frame, Panel, Review, Section, all_columns, in_month
from dashboards.pictures import Picture
from models.money import columns_of

TABLE = "marts.item_type_costs"
OF_THE_SALE = " ".join(columns_of("paid"))
# Part of what carriers billed, and too small or too plain for a column of their own.
UNSHOWN = "base_cents fuel_cents tax_cents credit_cents unmapped_cents"


def most_expensive_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's item types whose cost per piece is known, the most expensive first."""
    known = in_month(rows, review.month).dropna(subset=["cost_per_piece_cents"])
    return known.sort_values("cost_per_piece_cents", ascending=False, kind="stable")


def worst_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's item types and account fees, the one that lost most first."""
    return in_month(rows, review.month).sort_values("margin_cents", kind="stable")


def draw_costs(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Cost per piece, one bar per item type."""
    return figures.ranked_bars(rows, frame, ["item_type"], "cost_per_piece_cents")


def draw_margins(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Margin, one bar per item type."""
    return figures.ranked_bars(rows, frame, ["item_type"], "margin_cents")


SECTION = Section(
    order=30,
    chapter="money",
    name="item-types",
    title="Cost per item type",
    lead=(
        "margin.no_parcels",
        "margin.partly_billed",
        "item_type.most_expensive",
        "item_type.lost_most",
        "item_type.made_least",
    ),
    parts=(
        Panel(
            name="item-type-costs",
            title="All costs of shipping for one piece",
            table=TABLE,
            columns=all_columns(
                TABLE,
                first="item_type parcel_count piece_count billed_cents",
                but=f"shipped_month {UNSHOWN} {OF_THE_SALE} margin_cents margin_per_parcel_cents",
            ),
            choose=most_expensive_first,
            draw=draw_costs,
            when_empty=("margin.no_parcels", "item_type.cost_not_known"),
            note=("margin.surcharges_are_billed",),
        ),
        Panel(
            name="item-type-margins",
            title="Profit or loss by item type",
            table=TABLE,
            columns=(
                "item_type",
                "parcel_count",
                "shipping_charged_cents",
                "shipping_refunded_cents",
                "allowance_cents",
                "fee_on_shipping_cents",
                "margin_cents",
                "margin_per_parcel_cents",
            ),
            foremost=(
                *("item_type", "parcel_count", "shipping_charged_cents", "margin_cents", "margin_per_parcel_cents"),
            ),
            choose=worst_first,
            draw=draw_margins,
            when_empty=("margin.no_parcels",),
            note=("margin.account_row",),
        ),
    ),
)
