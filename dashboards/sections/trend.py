"""Eighteen months of income, carriage and margin."""

from __future__ import annotations

import pandas as pd

from dashboards import curves
from dashboards.parts import Frame, Panel, Review, Section
from dashboards.pictures import Picture

TABLE = "marts.shipping_margin"
MONTHS_SHOWN = 18


def last_months(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the last months up to the one reviewed, oldest first."""
    until = rows[rows["shipped_month"] <= pd.Timestamp(review.month)]
    return until.sort_values("shipped_month").tail(MONTHS_SHOWN)


def draw(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Income, carriage and what was left, one month axis."""
    return curves.time_lines(rows, frame, ("margin_cents", "shipping_charged_cents", "billed_cents"))


SECTION = Section(
    order=20,
    chapter="money",
    name="trend",
    title="Month by month",
    lead=("margin.how_to_read_months",),
    parts=(
        Panel(
            name="months",
            title="Income, carriage and margin by month of shipping",
            table=TABLE,
            columns=(
                "shipped_month",
                "parcel_count",
                "shipping_charged_cents",
                "billed_cents",
                "surcharge_cents",
                "adjustment_cents",
                "carton_cents",
                "material_cents",
                "labour_cents",
                "damage_net_cents",
                "margin_cents",
                "margin_per_parcel_cents",
            ),
            choose=last_months,
            draw=draw,
            when_empty=("records.no_parcel_ever",),
        ),
    ),
)
