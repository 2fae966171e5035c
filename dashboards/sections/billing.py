"""What was billed otherwise than the tariff says, and what can still be disputed."""

from __future__ import annotations

import pandas as pd

from dashboards import figures
from dashboards.parts import Figure, Frame, Panel, Review, Section, all_columns, in_month

TOTALS, DISPUTES, DIFFERENCES = "marts.billing_totals", "marts.billing_disputes", "marts.billing_differences"
CURVES = "analysis.rate_curves"
NONE = ("billing.no_error", "billing.not_checked", "billing.no_bill")
NONE_OPEN = ("disputes.none", "disputes.not_known")
LEARNED = ("learned.error", "learned.error_of_few", "learned.error_not_known")
SHOWN = 25


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


def used_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: learned prices, those in use first, then those that rest on most bills."""
    if rows.empty:
        return rows
    return rows.sort_values(["is_in_use", "bill_count"], ascending=False, kind="stable").head(SHOWN)


def draw_causes(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Billed beyond the tariff, one bar per cause and carrier."""
    return figures.ranked_bars(rows, frame, ["difference_class", "carrier"], "over_cents")


SECTION = Section(
    order=44,
    name="billing",
    title="Billing errors",
    lead=(
        "disputes.next",
        "disputes.next_by_records",
        "disputes.overdue",
        "disputes.no_deadline",
        *NONE_OPEN,
        *LEARNED,
    ),
    parts=(
        Panel(
            name="billing-causes",
            title="What each cause added to the bills of this month's parcels",
            table=TOTALS,
            columns=all_columns(
                TOTALS,
                first="difference_class carrier dispute_count over_cents credited_cents outstanding_cents",
                but="shipped_month disputable_cents",
            ),
            choose=costliest_first,
            draw=draw_causes,
            when_empty=NONE,
        ),
        Panel(
            name="disputes",
            title="To dispute, the next deadline first",
            table=DISPUTES,
            columns=(
                *("dispute_id", "difference_class", "outstanding_cents", "own_evidence", "billed_evidence"),
                "last_dispute_on",
            ),
            choose=still_open,
            when_empty=NONE_OPEN,
            note=("disputes.most_shown",),
        ),
        Panel(
            name="not-rated",
            title="Bills that could not be checked",
            table=DIFFERENCES,
            columns=("parcel_id", "carrier", "charge_name", "billed_cents"),
            choose=not_rated,
            when_empty=("billing.all_checked", "billing.no_bill"),
            is_folded=True,
        ),
        Panel(
            name="learned-prices",
            title="Prices learned from bills, and how far they miss",
            table=CURVES,
            columns=(
                *("carrier", "service", "zone", "is_in_use", "learned_first_on", "learned_last_on", "bill_count"),
                *("seen_from_lb", "seen_to_lb", "left_out_error_cents", "left_out_error_share"),
            ),
            choose=used_first,
            when_empty=("learned.none",),
            note=("learned.means",),
        ),
    ),
)
