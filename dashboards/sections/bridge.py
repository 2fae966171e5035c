"""What changed the margin since the month before: a bridge of steps that add up."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go

from dashboards import figures, palette
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, in_month, say

TABLE = "analysis.margin_bridge"
CHANGE = "margin_step_change_cents"


def steps_of_month(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: both margins of the month and the steps that changed anything, in order."""
    month = in_month(rows, review.month).sort_values("step_number")
    return month[month["margin_cents"].notna() | (month[CHANGE].fillna(0) != 0)]


def lead(review: Review) -> Sentence:
    """The step that took most, the step that gave most, and how far like is compared with like."""
    rows = review.month_rows(TABLE)
    changed = rows if rows.empty else rows[rows[CHANGE].fillna(0) != 0].sort_values(CHANGE, kind="stable")
    if changed.empty:
        return ("There is no month before to compare with.",) if rows.empty else ("Nothing changed the margin.",)
    return (
        *_named("Took most", changed[changed[CHANGE] < 0].head(1)),
        *_named("Gave most", changed[changed[CHANGE] > 0].tail(1)),
        *_compared(changed),
    )


def _named(words: str, rows: pd.DataFrame) -> Sentence:
    if rows.empty:
        return ()
    told = say(f"{words}: {{bridge_step}}, {{{CHANGE}}}", TABLE, rows)
    if pd.isna(rows.iloc[0]["main_item_type"]):
        return (*told, ". ")
    return (*told, *say(", of it {main_item_type} {main_item_change_cents}. ", TABLE, rows))


def _compared(rows: pd.DataFrame) -> Sentence:
    if pd.isna(rows.iloc[0]["compared_share"]):
        return ()
    words = "{compared_share} of the month's parcels have their like in the month before; the rest counts as mix."
    return say(words, TABLE, rows)


def draw(rows: pd.DataFrame, frame: Frame) -> Figure:
    """A waterfall from left to right in money, from top to bottom in steps."""
    labels = dict(zip(rows.index, figures.row_labels(rows, ["bridge_step"]), strict=True))
    totals, steps = rows[rows["margin_cents"].notna()], rows[rows["margin_cents"].isna()]
    bars = [
        _bars(part, frame, column, [labels[row] for row in part.index])
        for part, column in ((totals, "margin_cents"), (steps, CHANGE))
        if len(part)
    ]
    return figures.finished(bars, _layout(rows, frame, list(labels.values())))


def _bars(rows: pd.DataFrame, frame: Frame, column: str, labels: list[str]) -> go.Bar:
    amounts = figures.values(rows, column, frame.currency)
    below = [amount is not None and amount < 0 for amount in amounts]
    tones = (palette.GREY, palette.GREY) if column == "margin_cents" else (palette.BLUE, palette.VERMILION)
    return go.Bar(
        x=amounts,
        y=labels,
        base=figures.values(rows, "from_cents", frame.currency),
        orientation="h",
        text=figures.written(rows, column, frame.currency),
        textposition="none",
        hovertemplate="%{y}: %{text}<extra></extra>",
        marker={
            "color": [tones[is_below] for is_below in below],
            "pattern": {"shape": ["/" if is_below else "" for is_below in below], "size": 6, "solidity": 0.6},
        },
        meta=figures.origin(rows, column, frame),
    )


def _layout(rows: pd.DataFrame, frame: Frame, labels: list[str]) -> dict[str, object]:
    order = {"type": "category", "categoryorder": "array", "categoryarray": labels}
    return {
        "height": 70 + 30 * len(rows),
        "xaxis": {"title": figures.axis_title("margin_cents", frame.currency), **figures.number_axis("margin_cents")},
        "yaxis": {"autorange": "reversed", "automargin": True, **order},
        "showlegend": False,
        "barmode": "overlay",
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
            columns=("bridge_step", "margin_cents", CHANGE, "main_item_type", "main_item_change_cents"),
            choose=steps_of_month,
            draw=draw,
            when_empty="There is no month before in the records, so nothing can be compared.",
            note="The steps add up to the change of the margin, to the cent. More parcels at a loss lose more. Mix is "
            "what came from sending other goods, or the same by other services and farther zones; every other step is "
            "money per parcel. Base price moves with the tariff and with the weights billed.",
        ),
    ),
)
