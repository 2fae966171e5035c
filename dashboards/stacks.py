"""Figures of parts that add up, one row each, and of measures by week."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from dashboards import figures, palette
from dashboards.parts import Figure, Frame
from models import columns


def stacked_rows(rows: pd.DataFrame, frame: Frame, by: Sequence[str], parts: Sequence[str]) -> Figure:
    """Horizontal bars, one per row at its `by` label, one piece per named column; first row on top."""
    labels = figures.row_labels(rows, by)
    traces = [_piece(rows, frame, labels, column, at) for at, column in enumerate(parts)]
    layout = {
        "height": 90 + 34 * max(len(rows), 1),
        "barmode": "relative",
        "xaxis": {"title": figures.title(frame.currency), **figures.number_axis(parts[0])},
        "yaxis": {"autorange": "reversed", "automargin": True, "type": "category"},
        "showlegend": True,
    }
    return figures.finished(traces, layout)


def _piece(rows: pd.DataFrame, frame: Frame, labels: Sequence[str], column: str, at: int) -> Any:
    return go.Bar(
        x=figures.values(rows, column, frame.units),
        y=labels,
        orientation="h",
        name=figures.safe(columns.label(column)),
        marker={"color": figures.tone(at), "pattern": figures.hatch(palette.HATCHES[at % len(palette.HATCHES)])},
        customdata=figures.written(rows, column, frame.units),
        hovertemplate="%{y}: %{fullData.name}, %{customdata}<extra></extra>",
        meta=figures.origin(rows, column, frame),
    )


def week_lines(rows: pd.DataFrame, frame: Frame, names: Sequence[str]) -> Figure:
    """One line per named column over the weeks of `rows` (column week_on)."""
    traces = [_week_line(rows, frame, column, at) for at, column in enumerate(names)]
    layout = figures.month_layout(names[0], frame)
    layout["xaxis"] |= {"dtick": "M1"}
    return figures.finished(traces, layout)


def _week_line(rows: pd.DataFrame, frame: Frame, column: str, at: int) -> Any:
    return go.Scatter(
        x=figures.months(rows, "week_on"),
        y=figures.values(rows, column, frame.units),
        mode="lines+markers",
        name=figures.safe(columns.label(column)),
        line={"color": figures.tone(at), "dash": palette.STROKES[at % len(palette.STROKES)], "width": 2},
        marker={"symbol": palette.MARKS[at % len(palette.MARKS)], "size": 7},
        customdata=figures.written(rows, column, frame.units),
        hovertemplate="%{x|%d %b %Y}: %{fullData.name}, %{customdata}<extra></extra>",
        meta=figures.origin(rows, column, frame),
    )
