"""What to charge for shipping: the break-even charge per item type and zone band, beside what buyers paid."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go

from dashboards import figures, palette
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, say

TABLE = "analysis.shipping_guidance"
ROWS_DRAWN = 12
PAIR = ("charged_per_parcel_cents", "break_even_cents")
SHOWN = (
    "item_type",
    "zone_band",
    "parcel_count",
    "charged_per_parcel_cents",
    "break_even_cents",
    "shortfall_cents",
    "allowance_per_parcel_cents",
    "median_cost_cents",
    "high_cost_cents",
    "damage_per_parcel_cents",
    "margin_per_parcel_cents",
    "is_too_few",
)


def short_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: rows with enough parcels whose charge falls short, those that lost most in the year first."""
    short = rows[~rows["is_too_few"].astype(bool) & (rows["shortfall_cents"] > 0)]
    return short.sort_values("margin_cents", kind="stable").head(ROWS_DRAWN)


def by_item_type(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: every row, by item type."""
    return rows.sort_values(["item_type", "zone_band"], kind="stable")


def lead(review: Review) -> Sentence:
    """The item type and distance that lost most in the year, and the charge that would pay."""
    rows = review.table(TABLE)
    short = rows if rows.empty else short_first(review, rows)
    if short.empty:
        return ("No item type's charge falls short by enough parcels to say so.",) if len(rows) else ()
    return say(
        "Lost most in twelve months: {item_type} to {zone_band} zones. Buyers paid {charged_per_parcel_cents} for one "
        "piece on average; at {break_even_cents} eight parcels of ten would pay for themselves.",
        TABLE,
        short,
    )


def draw(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Two points per row: what was charged, hollow, and what would break even, solid."""
    labels = figures.row_labels(rows, ["item_type", "zone_band"])
    points = [_points(rows, frame, column, labels, at) for at, column in enumerate(PAIR)]
    layout = {
        "height": 110 + 34 * len(rows),
        "xaxis": {
            "title": figures.title(f"For one piece, {frame.currency}"),
            "rangemode": "tozero",
            **figures.number_axis(PAIR[0]),
        },
        "yaxis": {"autorange": "reversed", "automargin": True, "type": "category"},
        "showlegend": True,
    }
    return figures.finished(points, layout)


def _points(rows: pd.DataFrame, frame: Frame, column: str, labels: list[str], at: int) -> go.Scatter:
    return go.Scatter(
        x=figures.values(rows, column, frame.units),
        y=labels,
        mode="markers",
        orientation="h",
        cliponaxis=False,
        name=("Charged", "Break-even")[at],
        marker={"color": (palette.VERMILION, palette.BLUE)[at], "symbol": ("circle-open", "diamond")[at], "size": 12},
        customdata=figures.written(rows, column, frame.units),
        hovertemplate="%{y}: %{fullData.name}, %{customdata}<extra></extra>",
        meta=figures.origin(rows, column, frame),
    )


SECTION = Section(
    order=45,
    name="guidance",
    title="What to charge for shipping",
    lead=lead,
    parts=(
        Panel(
            name="charges-short",
            title="Charged and break-even, where the year's loss is greatest",
            table=TABLE,
            columns=SHOWN,
            choose=short_first,
            draw=draw,
            when_empty="No charge falls short, or no item type has parcels enough to say.",
            note="One piece in its own parcel, over the last twelve months of the records. Break-even covers what "
            "eight parcels of ten cost, the item type's mean damage and the marketplace's fee on the charge itself, "
            "less what the item price keeps for shipping. Whether buyers would pay it is not in the records.",
        ),
        Panel(
            name="charges-all",
            title="Every item type and distance",
            table=TABLE,
            columns=SHOWN,
            choose=by_item_type,
            when_empty="There is no parcel of one piece with a base charge yet.",
            is_folded=True,
        ),
    ),
)
