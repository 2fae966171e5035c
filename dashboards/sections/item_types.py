"""What each item type cost to ship, and what was left."""

from __future__ import annotations

import pandas as pd

from dashboards import figures, formats
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, all_columns, in_month, say
from models.money import columns_of

TABLE = "marts.item_type_costs"
OF_THE_SALE = " ".join(columns_of("paid"))
# Part of what carriers billed, and too small or too plain for a column of their own.
UNSHOWN = "base_cents fuel_cents tax_cents credit_cents unmapped_cents"


# Account fees of a carrier name no parcel; the mart gives them a row of their own.
ACCOUNT = "account"


def dearest_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's item types whose cost per piece is known, the dearest first."""
    known = in_month(rows, review.month).dropna(subset=["cost_per_piece_cents"])
    return known.sort_values("cost_per_piece_cents", ascending=False, kind="stable")


def worst_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's item types and account fees, the one that lost most first."""
    return in_month(rows, review.month).sort_values("margin_cents", kind="stable")


def lead(review: Review) -> Sentence:
    """The item type that cost most per piece, and the one that lost most."""
    rows = review.month_rows(TABLE)
    goods = rows if rows.empty else rows[rows["item_type"] != ACCOUNT]
    if goods.empty:
        return (f"No item type was shipped in {formats.month(review.month)}.",)
    return (*_dearest(dearest_first(review, goods)), *_worst(worst_first(review, goods)))


def _dearest(rows: pd.DataFrame) -> Sentence:
    return say("Dearest per piece: {item_type} at {cost_per_piece_cents}. ", TABLE, rows) if len(rows) else ()


def _worst(rows: pd.DataFrame) -> Sentence:
    word = "Lost most" if rows.iloc[0]["margin_cents"] < 0 else "Made least"
    return say(f"{word} in all: {{item_type}}, {{margin_cents}} on {{parcel_count}} parcels.", TABLE, rows)


def draw_costs(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Cost per piece, one bar per item type."""
    return figures.ranked_bars(rows, frame, ["item_type"], "cost_per_piece_cents")


def draw_margins(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Margin, one bar per item type."""
    return figures.ranked_bars(rows, frame, ["item_type"], "margin_cents")


SECTION = Section(
    order=30,
    name="item-types",
    title="Cost per item type",
    lead=lead,
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
            choose=dearest_first,
            draw=draw_costs,
            when_empty="No item type was shipped in this month, so there is no cost to show.",
            note="Surcharges and adjustments are part of what carriers billed.",
        ),
        Panel(
            name="item-type-margins",
            title="What each item type left over",
            table=TABLE,
            columns=(
                "item_type",
                "parcel_count",
                "shipping_charged_cents",
                "allowance_cents",
                "fee_on_shipping_cents",
                "margin_cents",
                "margin_per_parcel_cents",
            ),
            choose=worst_first,
            draw=draw_margins,
            when_empty="No item type was shipped in this month, so there is no margin to show.",
            note="The row “account” holds carriers' fees that name no parcel.",
        ),
    ),
)
