"""State of the records: what is known, what is missing, what looks wrong, and what more of them would tell."""

import pandas as pd

from dashboards import curves
from dashboards.panels import Panel, Section, all_by, all_columns, drawn
from dashboards.review_tables import Review
from dashboards.sections.trend import last_months

COUNTS = ["parcel_count", "benched_parcel_count", "measured_parcel_count", "charged_count", "sold_parcel_count"]


def latest_sales(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the sales of the month and of the eleven before it, the latest first."""
    months = pd.to_datetime(rows["sold_month"])
    month = pd.Timestamp(review.month)
    shown = rows[(months <= month) & (months > month - pd.DateOffset(months=12))]
    return shown.sort_values(["sold_month", "sale_state"], ascending=[False, True], kind="stable")


RECORDS = Section(
    order=900,
    chapter="records",
    name="records",
    title="State of the records",
    lead=("records.coverage", "records.no_coverage", "dated.by_invoice", "dated.next_by_invoice", "dated.by_claim"),
    parts=(
        Panel(
            "coverage",
            "Parcels known to each kind of record, by month of shipping",
            "marts.coverage",
            all_columns("marts.coverage"),
            last_months,
            drawn(curves.time_lines, COUNTS),
            when_empty="records.no_parcel_ever",
        ),
        Panel(
            "record-gaps",
            "Sold, packed, billed, claimed: what has no counterpart",
            "marts.record_gaps",
            all_columns("marts.record_gaps", first="gap due_count missing_count valued_count missing_cents"),
            when_empty="records.no_coverage",
        ),
        Panel(
            "record-states",
            "Data loaded",
            "marts.record_states",
            all_columns("marts.record_states", first="kind row_count first_on last_on delivery_count rejected_count"),
            all_by(where=lambda rows: (rows["row_count"] > 0) | (rows["rejected_count"] > 0)),
            when_empty="records.nothing_imported",
        ),
        Panel(
            "sale-states",
            "Sales by month and state",
            "marts.sale_states",
            all_columns("marts.sale_states"),
            latest_sales,
            when_empty="records.no_sale",
            is_folded=True,
        ),
        Panel(
            "warnings",
            "Warnings",
            "analysis.warnings",
            all_columns("analysis.warnings", first="warning row_count"),
            all_by("-row_count", where=lambda rows: rows["row_count"] > 0),
            when_empty="records.no_warning",
        ),
    ),
)


MISSING = Section(
    order=890,
    chapter="records",
    name="missing",
    title="What more records would tell",
    lead=(),
    points="missing.charges missing.sales missing.goods missing.tariff missing.tax missing.sales_tax missing.claims "
    "missing.weights missing.cartons missing.packing_methods missing.item_types missing.labels missing.returns",
)
