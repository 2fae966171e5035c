"""Figures of values that are not certain: a point with the interval that its table gives."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd
import plotly.graph_objects as go

from dashboards import figures, palette
from dashboards.parts import Figure, Frame
from models import columns
from models.shop_units import Units


def interval_points(
    rows: pd.DataFrame, frame: Frame, by: Sequence[str], column: str, low: str, high: str, beside: str = ""
) -> Figure:
    """One point per row at its `by` label, with a line from the cell of `low` to the cell of `high`.

    Where one of the three is null no line, or no point, is drawn. beside: a column shown as a hollow mark in the same
    row, for what the value is compared with.
    """
    points = _points(rows, frame, by, column, low, high)
    if not beside:
        return figures.finished([points], _layout(len(rows), column, frame))
    points.update(name=figures.safe(columns.label(column)))
    layout = _layout(len(rows), column, frame) | {"showlegend": True}
    return figures.finished([points, _hollow(rows, frame, by, beside)], layout)


def _hollow(rows: pd.DataFrame, frame: Frame, by: Sequence[str], column: str) -> go.Scatter:
    return go.Scatter(
        x=figures.values(rows, column, frame.units),
        y=figures.row_labels(rows, by),
        mode="markers",
        cliponaxis=False,
        name=figures.safe(columns.label(column)),
        marker={"color": palette.VERMILION, "size": 11, "symbol": "diamond-open", "line": {"width": 2}},
        customdata=figures.written(rows, column, frame.units),
        hovertemplate="%{y}: %{fullData.name}, %{customdata}<extra></extra>",
        meta=figures.origin(rows, column, frame),
    )


def _points(rows: pd.DataFrame, frame: Frame, by: Sequence[str], column: str, low: str, high: str) -> go.Scatter:
    at, below, above = (figures.values(rows, name, frame.units) for name in (column, low, high))
    return go.Scatter(
        x=at,
        y=figures.row_labels(rows, by),
        mode="markers",
        cliponaxis=False,
        marker={"color": palette.BLUE, "size": 11},
        error_x={
            "type": "data",
            "symmetric": False,
            "array": _reach(at, above),
            "arrayminus": _reach(below, at),
            "color": palette.GREY,
            "thickness": 2,
            "width": 6,
        },
        customdata=_spoken(rows, column, low, high, frame.units),
        hovertemplate="%{y}: %{customdata}<extra></extra>",
        meta=figures.origin(rows, column, frame),
    )


def _reach(start: Sequence[float | None], end: Sequence[float | None]) -> list[float | None]:
    """How far each line goes from its point, as Plotly wants it; the ends are cells."""
    return [None if a is None or b is None else b - a for a, b in zip(start, end, strict=True)]


def _spoken(rows: pd.DataFrame, column: str, low: str, high: str, units: Units) -> list[str]:
    cells = (figures.written(rows, name, units) for name in (column, low, high))
    return [f"{at} ({below} to {above})" for at, below, above in zip(*cells, strict=True)]


def _layout(rows: int, column: str, frame: Frame) -> dict[str, object]:
    return {
        "height": 70 + 34 * max(rows, 1),
        "xaxis": {"title": figures.axis_title(column, frame.units), **figures.number_axis(column)},
        "yaxis": {"autorange": "reversed", "automargin": True, "type": "category"},
        "showlegend": False,
    }
