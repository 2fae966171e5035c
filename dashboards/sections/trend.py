"""Eighteen months: the margin per parcel beside what was usual; income, carriage and margin."""

from dataclasses import replace

import pandas as pd

from dashboards import curves
from dashboards.panels import Frame, Panel, Section, drawn
from dashboards.pictures import Picture, Tone
from dashboards.review_tables import Review
from dashboards.sentences.grounds import flagged

BAND = "analysis.margin_band"
TABLE = "marts.shipping_margin"
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


SECTION = Section(
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
            TABLE,
            "shipped_month parcel_count shipping_charged_cents shipping_refunded_cents fee_on_shipping_cents "
            "billed_cents surcharge_cents adjustment_cents carton_cents material_cents labour_cents "
            "damage_net_cents margin_cents margin_per_parcel_cents",
            last_months,
            drawn(curves.time_lines, ("margin_cents", "shipping_charged_cents", "billed_cents")),
            when_empty="records.no_parcel_ever",
        ),
    ),
)
