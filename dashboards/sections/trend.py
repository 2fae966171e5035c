"""Eighteen months of income, carriage and margin."""

from __future__ import annotations

import pandas as pd

from dashboards import figures, palette
from dashboards.parts import Figure, Frame, Panel, Review, Section

TABLE = "marts.shipping_margin"
MONTHS_SHOWN = 18


def last_months(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the last months up to the one reviewed, oldest first."""
    until = rows[rows["shipped_month"] <= pd.Timestamp(review.month)]
    return until.sort_values("shipped_month").tail(MONTHS_SHOWN)


def draw(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Two lines above, margin bars below, one month axis."""
    lines = [
        figures.line(rows, frame, column, at) for at, column in enumerate(("shipping_charged_cents", "billed_cents"))
    ]
    bars = figures.ranked_bars(rows, frame, ["shipped_month"], "margin_cents")["data"][0]
    bars |= {"x": figures.months(rows), "y": bars["x"], "orientation": "v", "yaxis": "y2", "name": "Margin"}
    bars |= {"textposition": "none", "hovertemplate": "%{x|%B %Y}: Margin, %{text}<extra></extra>"}
    bars |= {"showlegend": False, "marker": bars["marker"] | {"line": {"color": palette.GREY, "width": 0.5}}}
    return figures.finished([*lines, bars], _layout(frame))


def _layout(frame: Frame) -> dict[str, object]:
    layout = figures.month_layout("shipping_charged_cents", frame)
    layout["yaxis"] |= {"domain": [0.45, 1.0], "title": figures.title(f"Income, carriage, {frame.currency}")}
    title = figures.title(f"Margin, {frame.currency}")
    layout["yaxis2"] = {"domain": [0.0, 0.36], "anchor": "x", "title": title, **figures.number_axis("margin_cents")}
    return layout | {"height": 460, "xaxis": figures.month_axis() | {"anchor": "y2"}}


SECTION = Section(
    order=20,
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
