"""Plotly figures from rows of a table. Each trace names its table, column and row numbers, so that the page can filter
it and a test can walk it; values are the cells themselves, money in the major unit.
"""

from __future__ import annotations

import html
import textwrap
from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from dashboards import formats, palette
from dashboards.parts import Figure, Frame
from models import columns
from models.fields import Quantity
from models.shop_units import Units

LABEL_LENGTH = 28


def safe(text: object, longest: int = LABEL_LENGTH) -> str:
    """Text as Plotly shall show it: Plotly reads some tags and entities, so none may be left."""
    return html.escape(formats.plain(text, longest), quote=False)


def row_labels(rows: pd.DataFrame, by: Sequence[str]) -> list[str]:
    """A label per row from the `by` columns, on two lines at most; equal labels of different names get a number.

    A phone leaves little room beside an axis.
    """
    names = [tuple(map(str, row)) for row in rows[list(by)].itertuples(index=False)]
    seen: dict[str, int] = {}
    labels = []
    for name in names:
        label = "<br>".join(html.escape(line, quote=False) for line in _lines(name))
        seen[label] = seen.get(label, 0) + 1
        labels.append(label if seen[label] == 1 else f"{label} ({seen[label]})")
    return labels


def _lines(name: Sequence[str]) -> list[str]:
    if len(name) > 1:
        return [formats.plain(part, LABEL_LENGTH) for part in name]
    return textwrap.wrap(formats.plain(name[0], LABEL_LENGTH), LABEL_LENGTH * 2 // 3, max_lines=2, placeholder="…") or [
        ""
    ]


def values(rows: pd.DataFrame, column: str, units: Units) -> list[float | None]:
    """The column's cells for an axis; null stays null, so nothing is drawn there."""
    is_money = columns.quantity(column) is Quantity.MONEY
    scale = 10.0 ** formats.minor_digits(units.currency) if is_money else 1.0
    return [None if formats.is_unknown(cell) else units.value(column, cell) / scale for cell in rows[column]]


def written(rows: pd.DataFrame, column: str, units: Units) -> list[str]:
    """The column's cells as the table writes them."""
    return [safe(formats.shown(cell, column, units)) for cell in rows[column]]


def months(rows: pd.DataFrame, column: str = "shipped_month") -> list[str]:
    """First days of the months, for a date axis."""
    return [f"{month:%Y-%m-%d}" for month in rows[column]]


def origin(rows: pd.DataFrame, column: str, frame: Frame) -> dict[str, Any]:
    """Where a trace's values came from: kept in the figure for the filter and the tests."""
    return {"table": frame.table, "column": frame.units.name(column), "rows": [int(row) for row in rows.index]}


def ranked_bars(rows: pd.DataFrame, frame: Frame, by: Sequence[str], column: str) -> Figure:
    """Horizontal bars, one per row, first row on top, the cell written at its end. A value below zero is hatched."""
    amounts = values(rows, column, frame.units)
    below = [amount is not None and amount < 0 for amount in amounts]
    bars = go.Bar(
        x=amounts,
        y=row_labels(rows, by),
        orientation="h",
        text=written(rows, column, frame.units),
        textposition="outside",
        cliponaxis=False,
        hovertemplate="%{y}: %{text}<extra></extra>",
        marker={
            "color": [palette.VERMILION if is_below else palette.BLUE for is_below in below],
            "pattern": {"shape": ["/" if is_below else "" for is_below in below], "size": 6, "solidity": 0.6},
        },
        meta=origin(rows, column, frame),
    )
    return finished([bars], _ranked_layout(len(rows), column, amounts, frame))


def _ranked_layout(rows: int, column: str, amounts: Sequence[float | None], frame: Frame) -> dict[str, Any]:
    known = [amount for amount in amounts if amount is not None] + [0.0]
    span = max(known) - min(known) or 1.0
    # Room for the written cells, which stand outside the bars; on the left they must not meet the axis labels.
    reach = [min(known) - 0.55 * span * (min(known) < 0), max(known) + 0.3 * span * (max(known) > 0)]
    return {
        "height": 70 + 34 * max(rows, 1),
        "xaxis": {"title": axis_title(column, frame.units), "range": reach, **number_axis(column)},
        "yaxis": {"autorange": "reversed", "automargin": True, "type": "category"},
        "showlegend": False,
    }


def split_points(rows: pd.DataFrame, frame: Frame, by: Sequence[str], column: str, split: str) -> Figure:
    """One point per row at its `by` label, tone and shape by the `split` column; labels in order of the rows."""
    traces = [
        go.Scatter(
            x=values(part, column, frame.units),
            y=row_labels(part, by),
            mode="markers",
            orientation="h",
            cliponaxis=False,
            name=safe(name),
            marker={"color": tone(at), "symbol": palette.MARKS[at % len(palette.MARKS)], "size": 12},
            customdata=written(part, column, frame.units),
            hovertemplate="%{y}: %{fullData.name}, %{customdata}<extra></extra>",
            meta=origin(part, column, frame),
        )
        for at, (name, part) in enumerate(rows.groupby(split, sort=True, dropna=False))
    ]
    labels = row_labels(rows[list(by)].drop_duplicates(), by)
    layout = _ranked_layout(len(labels), column, [], frame)
    layout["xaxis"] |= {"range": None, "rangemode": "tozero"}
    layout["yaxis"] |= {"categoryorder": "array", "categoryarray": labels}
    return finished(traces, layout | {"showlegend": True, "height": layout["height"] + 40, "scattermode": "group"})


def stacked_months(rows: pd.DataFrame, frame: Frame, column: str, split: str) -> Figure:
    """Upright bars by month, one piece per row, tone and hatch by the `split` column."""
    traces = [
        go.Bar(
            x=months(part),
            y=values(part, column, frame.units),
            name=safe(name),
            marker={"color": tone(at), "pattern": hatch(palette.HATCHES[at % len(palette.HATCHES)])},
            customdata=written(part, column, frame.units),
            hovertemplate="%{x|%B %Y}: %{fullData.name}, %{customdata}<extra></extra>",
            meta=origin(part, column, frame),
        )
        for at, (name, part) in enumerate(rows.groupby(split, sort=True, dropna=False))
    ]
    return finished(traces, month_layout(column, frame) | {"barmode": "stack"})


def month_lines(rows: pd.DataFrame, frame: Frame, names: Sequence[str]) -> Figure:
    """One line per named column over the months of `rows`."""
    return finished([line(rows, frame, column, at) for at, column in enumerate(names)], month_layout(names[0], frame))


def line(rows: pd.DataFrame, frame: Frame, column: str, at: int, name: str = "", **axes: str) -> go.Scatter:
    """A line of one column over the months; `at` picks tone, mark and stroke."""
    return go.Scatter(
        x=months(rows),
        y=values(rows, column, frame.units),
        mode="lines+markers",
        name=safe(name or columns.label(column)),
        line={"color": tone(at), "dash": palette.STROKES[at % len(palette.STROKES)], "width": 2},
        marker={"symbol": palette.MARKS[at % len(palette.MARKS)], "size": 7},
        customdata=written(rows, column, frame.units),
        hovertemplate="%{x|%B %Y}: %{fullData.name}, %{customdata}<extra></extra>",
        meta=origin(rows, column, frame),
        **axes,
    )


def tone(at: int) -> str:
    """The tone of the `at`-th kind."""
    return palette.TONES[at % len(palette.TONES)]


def hatch(shape: str) -> dict[str, Any]:
    """White strokes over the tone, so that kinds differ without colour too."""
    return {"shape": shape, "fillmode": "overlay", "fgcolor": "#ffffff", "fgopacity": 0.8, "size": 7, "solidity": 0.25}


def axis_title(column: str, units: Units) -> dict[str, Any]:
    """The column's label and its unit where it has one."""
    is_money = columns.quantity(column) is Quantity.MONEY
    return title(f"{columns.label(column)}, {units.currency}" if is_money else columns.head(column, units))


def title(text: str) -> dict[str, Any]:
    """An axis title in the size of all other text."""
    return {"text": text, "font": {"size": 13}}


def number_axis(column: str) -> dict[str, Any]:
    """Tick format by what the column measures."""
    ticks = formats.WRITINGS[columns.display(column)].axis
    return {"tickformat": ticks, "nticks": 6, "automargin": True}


def month_axis() -> dict[str, Any]:
    """A date axis marked every third month."""
    return {"type": "date", "dtick": "M3", "tickformat": "%b\n%Y", "automargin": True}


def month_layout(column: str, frame: Frame) -> dict[str, Any]:
    """Layout of a figure over months."""
    return {
        "height": 320,
        "xaxis": month_axis(),
        "yaxis": {"title": axis_title(column, frame.units), "rangemode": "tozero", **number_axis(column)},
        "showlegend": True,
    }


PLAIN_LAYOUT: Mapping[str, Any] = {
    "hoverlabel": {"bgcolor": "#211e1a", "bordercolor": "#211e1a", "align": "left"},
    "font": {"family": "system-ui, sans-serif", "size": 13},
    "paper_bgcolor": "rgba(0,0,0,0)",
    "plot_bgcolor": "rgba(0,0,0,0)",
    "margin": {"l": 10, "r": 16, "t": 10, "b": 10},
    "legend": {"orientation": "h", "x": 0, "y": 1.02, "yanchor": "bottom", "traceorder": "normal"},
    "dragmode": False,
    "hovermode": "closest",
    "bargap": 0.35,
    "template": "none",
}


def finished(traces: Sequence[Any], layout: Mapping[str, Any]) -> Figure:
    """The figure as plain JSON values; an unknown property of Plotly raises ValueError here."""
    figure: Figure = go.Figure(list(traces), layout={**PLAIN_LAYOUT, **layout}).to_plotly_json()
    figure["layout"].pop("template", None)  # the page's style sheet colours text and lines
    return figure
