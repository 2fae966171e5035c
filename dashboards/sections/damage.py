"""Damage claims by item type and packing method, as reported: crude."""

import pandas as pd

from dashboards import figures, stacks
from dashboards.panels import Panel, Section, all_columns, drawn, month_by
from dashboards.review_tables import Review
from dashboards.sections.trend import MONTHS_SHOWN

BY_METHOD, BY_ITEM, BY_MONTH = "marts.packing_method_year", "marts.damage_year", "marts.damage_counts"


def months_with_claims(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: rows of the last months that have a damage claim, newest month first."""
    last = pd.Timestamp(review.month)
    first = last - pd.DateOffset(months=MONTHS_SHOWN - 1)
    recent = rows[rows["shipped_month"].between(first, last) & (rows["damage_count"] > 0)]
    return recent.sort_values(["shipped_month", "item_type", "packing_method"], ascending=[False, True, True])


SECTION = Section(
    order=60,
    chapter="damage",
    name="damage",
    title="Damage by packing method, crude",
    replaced_by="analysis.damage_rates",
    lead=("damage.crude_means", "damage.none_in_year", "damage.cost_by_claim"),
    parts=(
        Panel(
            "damage-methods",
            "Damage claims over parcels by packing method, up to twelve months, crude",
            BY_METHOD,
            all_columns(BY_METHOD, but="shipped_month"),
            month_by("-crude_damage_rate"),
            drawn(figures.ranked_bars, ["packing_method"], "crude_damage_rate"),
            draws_shares=True,
            when_empty="damage.no_parcel",
            note="records.short_year",
        ),
        Panel(
            "damage-items",
            "Damage claims over parcels by item type and packing method, up to twelve months, crude",
            BY_ITEM,
            all_columns(BY_ITEM, but="shipped_month"),
            month_by("item_type packing_method"),
            drawn(stacks.grid, "item_type", "packing_method", "crude_damage_rate"),
            draws_shares=True,
            when_empty="damage.no_parcel",
            note="damage.few_parcels records.short_year",
        ),
        Panel(
            "damage-months",
            "Damage claims by month of shipping",
            BY_MONTH,
            all_columns(BY_MONTH),
            months_with_claims,
            drawn(stacks.stacked_months, "damage_count", "packing_method"),
            when_empty="damage.no_claim",
            note="damage.months",
            is_folded=True,
        ),
    ),
)
