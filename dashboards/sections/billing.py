"""What was billed otherwise than the tariff says, and what can still be disputed."""

from __future__ import annotations

import pandas as pd

from dashboards import figures, formats
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, in_month, say

TOTALS, DISPUTES, DIFFERENCES = "marts.billing_totals", "marts.billing_disputes", "marts.billing_differences"
NONE = "Every bill of this month's parcels that could be checked is what the tariff says."
SHOWN = 25


def lead(review: Review) -> Sentence:
    """The dispute whose last day is nearest, or that there is none."""
    rows = still_open(review, review.table(DISPUTES))
    if rows.empty:
        return ("Nothing can be disputed now. ",)
    return say(
        "The next last day is {last_dispute_on}: {carrier}, {difference_class}, {outstanding_cents}. ", DISPUTES, rows
    )


def costliest_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's causes, the greatest sum first."""
    return in_month(rows, review.month).sort_values("over_cents", ascending=False, kind="stable")


def still_open(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: what can be disputed, of parcels of any month, the nearest last day first."""
    if rows.empty:
        return rows
    return rows[rows["is_disputable"].astype(bool)].sort_values(["last_dispute_on", "dispute_id"]).head(SHOWN)


def not_rated(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's parcels that could not be checked."""
    month = in_month(rows, review.month)
    return month if month.empty else month[month["difference_class"] == "not rated"]


def draw_causes(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Billed beyond the tariff, one bar per cause and carrier."""
    return figures.ranked_bars(rows, frame, ["difference_class", "carrier"], "over_cents")


SECTION = Section(
    order=44,
    name="billing",
    title="Billed otherwise than the tariff says",
    lead=lead,
    parts=(
        Panel(
            name="billing-causes",
            title="What each cause added to the bills of this month's parcels",
            table=TOTALS,
            columns=(
                *("difference_class", "carrier", "dispute_count", "over_cents", "credited_cents"),
                *("outstanding_cents", "disputable_count"),
            ),
            choose=costliest_first,
            draw=draw_causes,
            when_empty=NONE,
        ),
        Panel(
            name="disputes",
            title="To dispute, the nearest last day first",
            table=DISPUTES,
            columns=(
                *("dispute_id", "difference_class", "outstanding_cents", "own_evidence", "billed_evidence"),
                "last_dispute_on",
            ),
            choose=still_open,
            when_empty="Nothing that was billed wrongly can still be disputed.",
            note=f"At most {formats.count(SHOWN)} are shown; `dunnage disputes` has all of them.",
        ),
        Panel(
            name="not-rated",
            title="Bills that could not be checked",
            table=DIFFERENCES,
            columns=("parcel_id", "carrier", "charge_name", "billed_cents"),
            choose=not_rated,
            when_empty="Every bill of this month could be checked.",
            is_folded=True,
        ),
    ),
)
