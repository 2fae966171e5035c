"""What changed the margin since the month before: a bridge of steps that add up."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go

from dashboards import figures, palette
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, all_columns, in_month, say

TABLE = "analysis.margin_bridge"
CHANGE = "margin_step_change_cents"


def steps_of_month(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's steps that changed anything, in order, then their sum."""
    month = in_month(rows, review.month).sort_values("step_number")
    return month[(month[CHANGE] != 0) | (month["step_number"] == month["step_number"].max())]


def lead(review: Review) -> Sentence:
    """The step that took most, the step that gave most, and how far like is compared with like."""
    rows = review.month_rows(TABLE).sort_values("step_number") if review.has(TABLE) else pd.DataFrame()
    if rows.empty:
        return ("There is no month before to compare with.",)
    steps = rows.iloc[:-1].sort_values(CHANGE, kind="stable")
    return (
        *_named("Took most", steps[steps[CHANGE] < 0].head(1)),
        *_named("Gave most", steps[steps[CHANGE] > 0].tail(1)),
        *_compared(rows),
    )


def _named(words: str, rows: pd.DataFrame) -> Sentence:
    if rows.empty:
        return ()
    reported = say(f"{words}: {{bridge_step}}, {{{CHANGE}}}", TABLE, rows)
    if rows.iloc[0]["main_item_change_cents"] == rows.iloc[0][CHANGE]:
        return (*reported, ". ")
    return (*reported, *say(", of it {main_item_type} {main_item_change_cents}. ", TABLE, rows))


def _compared(rows: pd.DataFrame) -> Sentence:
    if pd.isna(rows.iloc[0]["compared_share"]):
        return ()
    words = "{compared_share} of the month's parcels have their like in the month before; the rest counts as mix."
    return say(words, TABLE, rows)


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
    lead=lead,
    parts=(
        Panel(
            name="margin-bridge",
            title="From the margin of the month before to the margin of the month",
            table=TABLE,
            columns=all_columns(TABLE, but="shipped_month step_number from_cents compared_share"),
            choose=steps_of_month,
            draw=draw,
            when_empty="There is no month before in the records, so nothing can be compared.",
            note="The steps add up to the change of the margin, to the cent. More parcels at a loss lose more. Mix is "
            "what came from sending other goods, or the same by other services and farther zones; every other step is "
            "money per parcel. Base price moves with the tariff and with the weights billed.",
        ),
    ),
)
