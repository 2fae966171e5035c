"""Figures of one measure against another: spend against the number of carton sizes, price against weight."""

from __future__ import annotations

from typing import Any

import pandas as pd
import plotly.graph_objects as go

from dashboards import figures, palette
from dashboards.parts import Figure, Frame


def curve(rows: pd.DataFrame, frame: Frame, along: str, column: str, split: str = "") -> Figure:
    """A line of `column` over the measure `along`, points at the rows; one line per value of `split` where given."""
    parts = rows.groupby(split, sort=True, dropna=False) if split else [("", rows)]
    traces = [_line(part, frame, along, column, at, str(name)) for at, (name, part) in enumerate(parts)]
    layout = {
        "height": 320,
        "xaxis": {"title": figures.axis_title(along, frame.units), **figures.number_axis(along)},
        "yaxis": {"title": figures.axis_title(column, frame.units), **figures.number_axis(column)},
        "showlegend": bool(split),
    }
    return figures.finished(traces, layout)


def _line(rows: pd.DataFrame, frame: Frame, along: str, column: str, at: int, name: str) -> Any:
    ordered = rows.sort_values(along, kind="stable")
    return go.Scatter(
        x=figures.values(ordered, along, frame.units),
        y=figures.values(ordered, column, frame.units),
        mode="lines+markers",
        name=figures.safe(name),
        line={"color": figures.tone(at), "dash": palette.STROKES[at % len(palette.STROKES)], "width": 2},
        marker={"symbol": palette.MARKS[at % len(palette.MARKS)], "size": 8},
        customdata=figures.written(ordered, column, frame.units),
        text=figures.written(ordered, along, frame.units),
        hovertemplate="%{text}: %{customdata}<extra></extra>",
        meta=figures.origin(ordered, column, frame),
    )
