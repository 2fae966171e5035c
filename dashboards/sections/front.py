"""What stands on the first screen: the month beside others, its waterfall, why, what to do, what is due."""

from dataclasses import replace

import pandas as pd

from dashboards import curves, figures
from dashboards.panels import Frame, Panel, Section, all_by, drawn, found_by, month_by
from dashboards.pictures import Kind, Picture
from dashboards.review_tables import Review, in_month
from dashboards.sections.actions import TABLE as ACTIONS
from dashboards.sections.trend import last_months
from dashboards.sentences.carton_stock import ORDERS
from dashboards.sentences.causes import CAUSES
from dashboards.sentences.claims import STEPS as CLAIM_STEPS
from dashboards.sentences.open_months import COMPLETED, comparable, completed
from models.carton_choice.order_words import ORDER_NOW, OUT, SHORT

STEPS, COMPARED = "analysis.margin_waterfall", "analysis.margin_comparisons"
DISPUTES = "marts.billing_disputes"
SO_FAR = "left so far"
CARDS = 3


def steps_of_month(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's steps down to what is left, so far where nobody knows what is still to come."""
    month = in_month(rows, review.month).sort_values("step_number")
    if month.empty:
        return month
    is_left = month["waterfall_step"] == SO_FAR
    if is_left.iloc[-1:].any() or completed(review).empty:
        return month[: is_left.to_numpy().argmax() + 1]
    return month[~is_left]


def compared(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the months that it can be compared with, completed as well, the nearest first, their mean last."""
    found = comparable(review)
    is_mean = found["first_compared_month"] != found["last_compared_month"]
    return found.assign(is_mean=is_mean).sort_values(["is_mean", "first_compared_month"], ascending=[True, False])


def orders_due(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: cartons to be ordered by now, those first that have run out or will before a delivery."""
    due = rows[rows["order_state"].isin([OUT, SHORT, ORDER_NOW])].dropna(subset=["order_by_on"])
    return due.sort_values(["order_by_on", "runs_out_on", "carton_code"])


def months_completed(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the last months that can be completed, where the month reviewed is one of them, oldest first."""
    months = last_months(review, rows)
    return months.dropna(subset=["completed_margin_cents"]) if len(completed(review)) else months.iloc[:0]


def draw_line(rows: pd.DataFrame, frame: Frame) -> Picture:
    """The margin of each month, small, as the headline states it."""
    return replace(curves.time_lines(rows, frame, ["completed_margin_cents"]), kind=Kind.SMALL_LINE)


SECTION = Section(
    order=0,
    name="front",
    title="The month",
    lead="margin.no_parcels margin.fees_only margin.few_parcels margin.year completed.unpriced front.interval "
    "front.billed_so_far completed.damage_not_known completed.rose completed.fell completed.not_clear "
    "completed.same completed.no_month_before dated.by_invoice dated.next_by_invoice uncounted.damage "
    "uncounted.packing uncounted.costs uncounted.cartons uncounted.material uncounted.labour "
    "uncounted.material_and_labour uncounted.cartons_and_labour uncounted.sales uncounted.repeated "
    "uncounted.rejected uncounted.rejected_several",
    is_headline=True,
    parts=(
        Panel(
            "margin-line",
            "Completed margin by month of shipping",
            COMPLETED,
            "shipped_month completed_margin_cents",
            months_completed,
            draw_line,
        ),
        Panel(
            "completed-month",
            "The month completed",
            COMPLETED,
            "shipped_month completed_margin_cents completed_per_parcel_cents",
            found_by(completed),
        ),
        Panel(
            "compared-months",
            "Other months, completed",
            COMPARED,
            "compared_with compared_completed_cents compared_completed_per_parcel_cents",
            compared,
        ),
        Panel(
            "waterfall",
            "From what buyers paid to what is left",
            STEPS,
            "waterfall_step waterfall_cents",
            steps_of_month,
            drawn(figures.waterfall, "waterfall_step", "waterfall_cents", "waterfall_from_cents"),
        ),
        Panel("causes", "Why", CAUSES, "cause_kind cause_cents", month_by("place")),
        Panel(
            "first-actions",
            "Do this month",
            ACTIONS,
            "action_words action_kind expected_month_cents expected_once_cents confidence_words due_on",
            all_by("place", CARDS, "is_in_sum"),
            is_filtered=False,
            marks_overdue=True,
        ),
        Panel(
            "disputes-due",
            "Disputes by deadline",
            DISPUTES,
            "last_dispute_on difference_class outstanding_cents",
            all_by(
                "last_dispute_on", where=lambda rows: rows["is_disputable"].eq(True) & rows["last_dispute_on"].notna()
            ),
        ),
        Panel(
            "claims-due",
            "Claims by deadline",
            CLAIM_STEPS,
            "step_due_on claim_id claim_step open_cents",
            all_by("step_due_on claim_id", where="is_in_time"),
        ),
        Panel(
            "orders-due", "Orders of cartons that are due", ORDERS, "order_by_on carton_code order_cents", orders_due
        ),
    ),
)
