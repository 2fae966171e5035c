"""What each item type cost to ship, and what was left."""

import pandas as pd

from dashboards import figures
from dashboards.panels import Section, all_columns, drawn, month_by, panel
from dashboards.review_tables import Review, in_month
from dashboards.words import words
from models.money import columns_of

TABLE = "marts.item_type_costs"
OF_THE_SALE = " ".join(columns_of("paid"))
# Part of what carriers billed, and too small or too plain for a column of their own.
UNSHOWN = "base_cents fuel_cents tax_cents credit_cents unmapped_cents"


def most_expensive_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's item types whose cost per piece is known, the most expensive first."""
    known = in_month(rows, review.month).dropna(subset=["cost_per_piece_cents"])
    return known.sort_values("cost_per_piece_cents", ascending=False, kind="stable")


SECTION = Section(
    order=30,
    chapter="money",
    name="item-types",
    title="Cost per item type",
    lead=words(
        "margin.no_parcels margin.partly_billed item_type.most_expensive item_type.lost_most item_type.made_least"
    ),
    parts=(
        panel(
            "item-type-costs",
            "All costs of shipping for one piece",
            TABLE,
            all_columns(
                TABLE,
                first="item_type parcel_count piece_count billed_cents",
                but=f"shipped_month {UNSHOWN} {OF_THE_SALE} margin_cents margin_per_parcel_cents",
            ),
            most_expensive_first,
            drawn(figures.ranked_bars, ["item_type"], "cost_per_piece_cents"),
            when_empty="margin.no_parcels item_type.cost_not_known",
            note="margin.surcharges_are_billed",
        ),
        panel(
            "item-type-margins",
            "Profit or loss by item type",
            TABLE,
            "item_type parcel_count shipping_charged_cents shipping_refunded_cents allowance_cents "
            "fee_on_shipping_cents margin_cents margin_per_parcel_cents",
            month_by("margin_cents"),
            drawn(figures.ranked_bars, ["item_type"], "margin_cents"),
            foremost="item_type parcel_count shipping_charged_cents margin_cents margin_per_parcel_cents",
            when_empty="margin.no_parcels",
            note="margin.account_row",
        ),
    ),
)
