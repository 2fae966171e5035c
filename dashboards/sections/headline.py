"""What shipping made or lost in the month, beside the month before."""

import pandas as pd

from dashboards.panels import Panel, Section, Statement, all_columns
from dashboards.review_tables import Review
from dashboards.sentences import words
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


COMPLETED_GROUPS = {
    "So far": ("margin_cents", "billed_cents", "parcel_count"),
    "Parcels and sales": ("unbilled_count", "unpriced_count", "sales_to_ship_count", "income_to_come_cents"),
    "Still to be billed": words(
        "carriage_to_come_cents carriage_to_come_low_cents carriage_to_come_high_cents billed_part "
        "packing_to_come_cents"
    ),
    "Still to be reported": words(
        "damage_to_come_cents damage_to_come_low_cents damage_to_come_high_cents recovery_to_come_cents"
    ),
    "Completed": words(
        "completed_margin_cents completed_low_cents completed_high_cents is_completed completed_change_cents "
        "change_low_cents change_high_cents"
    ),
}

SECTION = Section(
    order=10,
    chapter="money",
    name="headline",
    title="What shipping made or lost",
    lead="margin.no_parcels margin.fees_only margin.month_lost margin.month_made margin.month_lost_so_far "
    "margin.month_made_so_far margin.few_parcels margin.year completed.lost completed.made completed.lost_with_sales "
    "completed.made_with_sales completed.interval completed.billed_so_far completed.sales_to_ship "
    "completed.damage_to_come completed.damage_seldom_to_come completed.damage_not_known completed.recovery_to_come "
    "completed.unpriced completed.no_month_before completed.rose completed.fell completed.not_clear completed.same "
    "completed.change completed.change_expected completed.not_comparable completed.unpriced_not_compared "
    "margin.compared bridge.moved_most bridge.given "
    "records.all_billed records.all_known_billed records.known_by_bills_only records.some_billed dated.by_invoice "
    "dated.next_by_invoice dated.by_claim records.some_billed_of_few records.none_billed records.all_sold_billed "
    "records.sales_without_parcel records.no_sale_linked records.bills_without_sale records.claims_without_parcel "
    "records.claims_to_come records.no_claims records.claims_end_before",
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
            "comparisons",
            "Margin per parcel beside other months",
            COMPARED,
            all_columns(COMPARED, but="shipped_month margin_per_parcel_cents"),
            note="margin.compared_means",
            is_folded=True,
        ),
        Statement(
            name="completed",
            title="The month completed, with what is still to come",
            table="analysis.completed_months",
            groups=COMPLETED_GROUPS,
            choose=both_months,
            when_empty=("margin.no_parcels",),
            note=("completed.means", "damage.claims_counted"),
            is_folded=True,
        ),
    ),
)
