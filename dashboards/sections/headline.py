"""What shipping made or lost in the month, beside the month before."""

from __future__ import annotations

import pandas as pd

from dashboards.parts import Panel, Review, Section, Statement, all_columns, in_month
from models.money import columns_of

TABLE, COMPARED = "marts.shipping_margin", "analysis.margin_comparisons"
GROUPS = {
    "Came in": columns_of("income"),
    "Billed by carriers": (*columns_of("charges"), "billed_cents"),
    "Other costs": columns_of("other_outlays"),
    "Left over": ("margin_cents", "margin_change_cents", "margin_per_parcel_cents"),
    "For comparison": ("parcel_count", "carriage_per_parcel_cents"),
}


def both_months(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month reviewed, then the month before it in the records; nothing without the month reviewed."""
    if rows.empty or not (rows["shipped_month"] == pd.Timestamp(review.month)).any():
        return rows.iloc[:0]
    until = rows[rows["shipped_month"] <= pd.Timestamp(review.month)]
    return until.sort_values("shipped_month", ascending=False).head(2)


def of_month(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's comparisons."""
    return in_month(rows, review.month)


SECTION = Section(
    order=10,
    name="headline",
    title="What shipping made or lost",
    lead=(
        *("margin.no_parcels", "margin.fees_only", "margin.month_lost", "margin.month_made"),
        *("margin.month_lost_so_far", "margin.month_made_so_far", "margin.few_parcels", "margin.year"),
        *("margin.no_month_before", "margin.rose"),
        *("margin.fell", "margin.same", "margin.change", "margin.not_comparable", "margin.compared"),
        *("bridge.moved_most", "bridge.given"),
        *("records.all_billed", "records.all_known_billed", "records.known_by_bills_only", "records.some_billed"),
        *("records.some_billed_of_few", "records.none_billed", "records.claims_to_come", "records.no_claims"),
        "records.claims_end_before",
    ),
    is_headline=True,
    parts=(
        Statement(
            name="margin",
            title="From what buyers paid to what was left",
            table=TABLE,
            groups=GROUPS,
            choose=both_months,
            when_empty=("margin.no_parcels",),
            note=("margin.means",),
            is_folded=True,
        ),
        Panel(
            name="comparisons",
            title="Margin per parcel beside other months",
            table=COMPARED,
            columns=all_columns(COMPARED, but="shipped_month margin_per_parcel_cents"),
            choose=of_month,
            when_empty=(),
            note=("margin.compared_means",),
            is_folded=True,
        ),
    ),
)
