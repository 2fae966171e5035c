"""What changed the margin since the month before: a bridge of steps that add up."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go

from dashboards import figures, palette
from dashboards.parts import Figure, Frame, Panel, Review, Section, all_columns, in_month

TABLE = "analysis.margin_bridge"
CHANGE = "margin_step_change_cents"


def steps_of_month(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's steps that changed anything, in order, then their sum."""
    month = in_month(rows, review.month).sort_values("step_number")
    return month[(month[CHANGE] != 0) | month["step_number"].eq(month["step_number"].max())]


def draw(rows: pd.DataFrame, frame: Frame) -> Figure:
    """A waterfall: each bar begins where the one above it ends; the last is the sum."""
    amounts = figures.values(rows, CHANGE, frame.units)
    below = [amount is not None and amount < 0 for amount in amounts]
    tones = [palette.VERMILION if is_below else palette.BLUE for is_below in below]
    bars = go.Bar(
        x=amounts,
        y=figures.row_labels(rows, ["bridge_step"]),
        base=figures.values(rows, "from_cents", frame.units),
        orientation="h",
        text=figures.written(rows, CHANGE, frame.units),
        textposition="outside",
        cliponaxis=False,
        hovertemplate="%{y}: %{text}<extra></extra>",
        marker={
            "color": [*tones[:-1], palette.GREY],
            "pattern": {"shape": ["/" if is_below else "" for is_below in below], "size": 6, "solidity": 0.6},
        },
        meta=figures.origin(rows, CHANGE, frame),
    )
    return figures.finished([bars], _layout(rows, frame))


def _layout(rows: pd.DataFrame, frame: Frame) -> dict[str, object]:
    starts, changes = (figures.values(rows, name, frame.units) for name in ("from_cents", CHANGE))
    ends = [0.0, *((start or 0) + (change or 0) for start, change in zip(starts, changes, strict=True))]
    # Room for the written cells beside the longest bars.
    span = max(ends) - min(ends) or 1.0
    axis = {"range": [min(ends) - 0.3 * span, max(ends) + 0.3 * span], **figures.number_axis(CHANGE)}
    return {
        "height": 70 + 34 * len(rows),
        "xaxis": {"title": figures.title(f"Change of margin, {frame.currency}"), **axis},
        "yaxis": {"autorange": "reversed", "automargin": True, "type": "category"},
        "showlegend": False,
    }


SECTION = Section(
    order=25,
    name="bridge",
    title="What changed since the month before",
    lead=(
        *("bridge.no_month_before", "bridge.unequal", "bridge.few", "bridge.hurt_most", "bridge.hurt_most_one_item"),
        *("bridge.helped_most", "bridge.helped_most_one_item", "bridge.given", "bridge.compared"),
    ),
    parts=(
        Panel(
            name="margin-bridge",
            title="From the margin of the month before to the margin of the month",
            table=TABLE,
            columns=all_columns(TABLE, but="shipped_month step_number from_cents compared_share is_actionable"),
            choose=steps_of_month,
            draw=draw,
            when_empty=("bridge.no_month_before",),
            unless=("bridge.few",),
            note=("bridge.means",),
        ),
    ),
)
