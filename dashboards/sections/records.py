"""State of the records: what is known, what is missing, what looks wrong."""

from __future__ import annotations

import pandas as pd

from dashboards import curves
from dashboards.parts import Frame, Panel, Review, Section, all_columns
from dashboards.pictures import Picture
from dashboards.sections.trend import last_months

COUNTS = (
    "parcel_count",
    "benched_parcel_count",
    "measured_parcel_count",
    "charged_count",
    "sold_parcel_count",
)


def draw_coverage(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Parcels known to each kind of record, by month."""
    return curves.time_lines(rows, frame, COUNTS)


def found_warnings(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the warnings that found rows, the most first."""
    return rows[rows["row_count"] > 0].sort_values("row_count", ascending=False, kind="stable")


def with_rows(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the kinds of record of which anything was imported."""
    return rows[(rows["row_count"] > 0) | (rows["rejected_count"] > 0)]


def latest_sales(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the sales of the month and of the eleven before it, the latest first."""
    if rows.empty:
        return rows
    months = pd.to_datetime(rows["sold_month"])
    month = pd.Timestamp(review.month)
    shown = rows[(months <= month) & (months > month - pd.DateOffset(months=12))]
    return shown.sort_values(["sold_month", "sale_state"], ascending=[False, True], kind="stable")


SECTION = Section(
    order=900,
    chapter="records",
    name="records",
    title="State of the records",
    lead=("records.coverage", "records.no_coverage", "dated.by_invoice", "dated.next_by_invoice", "dated.by_claim"),
    parts=(
        Panel(
            name="coverage",
            title="Parcels known to each kind of record, by month of shipping",
            table="marts.coverage",
            columns=all_columns("marts.coverage"),
            choose=last_months,
            draw=draw_coverage,
            when_empty=("records.no_parcel_ever",),
        ),
        Panel(
            name="record-gaps",
            title="Sold, packed, billed, claimed: what has no counterpart",
            table="marts.record_gaps",
            columns=all_columns("marts.record_gaps", first="gap due_count missing_count valued_count missing_cents"),
            when_empty=("records.no_coverage",),
        ),
        Panel(
            name="record-states",
            title="Data loaded",
            table="marts.record_states",
            columns=all_columns(
                "marts.record_states", first="kind row_count first_on last_on delivery_count rejected_count"
            ),
            choose=with_rows,
            when_empty=("records.nothing_imported",),
        ),
        Panel(
            name="sale-states",
            title="Sales by month and state",
            table="marts.sale_states",
            columns=all_columns("marts.sale_states"),
            choose=latest_sales,
            when_empty=("records.no_sale",),
            is_folded=True,
        ),
        Panel(
            name="warnings",
            title="Warnings",
            table="analysis.warnings",
            columns=all_columns("analysis.warnings", first="warning row_count"),
            choose=found_warnings,
            when_empty=("records.no_warning",),
        ),
    ),
)
