"""Eighteen months, the margin per parcel beside what was usual, and what changed it since the month before."""

from dataclasses import replace

import pandas as pd

from dashboards import curves, figures
from dashboards.panels import Frame, Panel, Section, all_columns, drawn
from dashboards.pictures import Picture, Tone
from dashboards.review_tables import Review, in_month
from dashboards.sentences.grounds import flagged

BAND = "analysis.margin_band"
MARGIN = "marts.shipping_margin"
MONTHS_SHOWN = 18


def last_months(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the last months up to the one reviewed, oldest first."""
    until = rows[rows["shipped_month"] <= pd.Timestamp(review.month)]
    return until.sort_values("shipped_month").tail(MONTHS_SHOWN)


def beside_usual(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the last months, where twelve months before the one reviewed say what is usual."""
    months = last_months(review, rows)
    return months if months["usual_low_cents"].tail(1).notna().any() else months.iloc[:0]


def draw_band(rows: pd.DataFrame, frame: Frame) -> Picture:
    """The margin per parcel, in the band of what is usual; months outside it are marked."""
    limits = ("usual_low_cents", "usual_high_cents")
    drawn = curves.time_lines(rows, frame, ["completed_per_parcel_cents"], limits=limits)
    unusual = {int(row) for row in flagged(rows, "is_unusual").index}
    marks = [replace(mark, tone=Tone.MARKED if mark.row in unusual else Tone.PLAIN) for mark in drawn.marks]
    return replace(drawn, marks=tuple(marks))


TREND = Section(
    order=20,
    chapter="money",
    name="trend",
    title="Month by month",
    lead=("margin.how_to_read_months",),
    parts=(
        Panel(
            "margin-band",
            "Margin per parcel beside what is usual",
            BAND,
            "shipped_month completed_per_parcel_cents usual_per_parcel_cents usual_low_cents usual_high_cents "
            "is_unusual",
            beside_usual,
            draw_band,
            note="margin.band",
        ),
        Panel(
            "months",
            "Income, carriage and margin by month of shipping",
            MARGIN,
            "shipped_month parcel_count shipping_charged_cents shipping_refunded_cents fee_on_shipping_cents "
            "billed_cents surcharge_cents adjustment_cents carton_cents material_cents labour_cents "
            "damage_net_cents margin_cents margin_per_parcel_cents",
            last_months,
            drawn(curves.time_lines, ("margin_cents", "shipping_charged_cents", "billed_cents")),
            when_empty="records.no_parcel_ever",
        ),
    ),
)


STEPS = "analysis.margin_bridge"
CHANGE = "margin_step_change_cents"


def steps_of_month(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's steps that changed anything, in order, then their sum."""
    month = in_month(rows, review.month).sort_values("step_number")
    return month[(month[CHANGE] != 0) | month["step_number"].eq(month["step_number"].max())]


BRIDGE = Section(
    order=25,
    chapter="money",
    name="bridge",
    title="Changes since the month before",
    lead="bridge.no_month_before bridge.unequal bridge.few bridge.hurt_most bridge.hurt_most_one_item "
    "bridge.helped_most bridge.helped_most_one_item bridge.given bridge.compared",
    parts=(
        Panel(
            "margin-bridge",
            "From the margin of the month before to the margin of the month",
            STEPS,
            all_columns(STEPS, but="shipped_month step_number from_cents compared_share is_actionable"),
            steps_of_month,
            drawn(figures.waterfall, "bridge_step", CHANGE, "from_cents"),
            when_empty="bridge.no_month_before",
            unless="bridge.few",
            note="bridge.means",
        ),
    ),
)
