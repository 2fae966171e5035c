"""A picture as a figure of Plotly, as plain JSON values: the same marks as the drawing, to hover, zoom and filter."""

import datetime as dt
import html
from collections.abc import Sequence
from typing import Any

from dashboards import palette
from dashboards.pictures.picture import Axis, Block, Kind, Mark, Picture, Tone
from models.columns import Display

Trace = dict[str, Any]
TONES = {Tone.PLAIN: "bar", Tone.GOOD: "gain", Tone.BAD: "loss", Tone.MARKED: "mark", Tone.QUIET: "quiet"}
ROWS = (Kind.BARS, Kind.WATERFALL, Kind.ROW_STACKS, Kind.POINTS)
BARS = (Kind.BARS, Kind.WATERFALL, Kind.ROW_STACKS, Kind.MONTH_STACKS, Kind.HISTOGRAM)


def figure(picture: Picture) -> dict[str, Any]:
    """Traces and layout; every trace names its table, column and rows, and so does each of its points by its place."""
    if picture.blocks:
        return {"data": [_block(picture, block) for block in picture.blocks], "layout": _drawing_layout()}
    is_grid = picture.kind is Kind.GRID
    traces = [_cells(picture)] if is_grid else [_trace(picture, at) for at in picture.shown_series]
    return {"data": traces, "layout": _layout(picture)}


def safe(text: str) -> str:
    """Text as Plotly shall show it: it reads some tags and entities, so none may be left."""
    return html.escape(text, quote=False)


def _trace(picture: Picture, series: int) -> Trace:
    marks = picture.of_series(series)
    along: list[Any] = [safe(mark.label) for mark in marks] if picture.kind in ROWS else _places(picture, marks)
    values: list[Any] = [mark.value for mark in marks]
    x, y = (values, along) if picture.kind in ROWS else (along, values)
    return {
        "x": x,
        "y": y,
        "name": safe(picture.series[series]) if picture.series else "",
        "text": [safe(mark.text) for mark in marks],
        "hovertext": [safe(", ".join(filter(None, (mark.label, mark.text)))) for mark in marks],
        "hoverinfo": "text",
        "meta": _origin(picture, marks),
        **(_bars(picture, series, marks) if picture.kind in BARS else _lines(picture, series, marks)),
    }


def _origin(picture: Picture, marks: Sequence[Mark]) -> dict[str, Any]:
    return {"table": picture.table, "column": marks[0].column, "rows": [mark.row for mark in marks]}


def _places(picture: Picture, marks: Sequence[Mark]) -> list[Any]:
    if picture.along.display is Display.MONTH:
        return [f"{int(mark.at) // 12:04d}-{int(mark.at) % 12 + 1:02d}-01" for mark in marks]
    if picture.along.display is Display.DAY:
        return [dt.date.fromordinal(int(mark.at)).isoformat() for mark in marks]
    if picture.kind is Kind.HISTOGRAM:
        return [(mark.at + mark.until) / 2 for mark in marks]
    return [mark.at for mark in marks]


def _bars(picture: Picture, series: int, marks: Sequence[Mark]) -> Trace:
    is_split = len(picture.series) > 1
    made: Trace = {
        "type": "bar",
        "orientation": "h" if picture.kind in ROWS else "v",
        "textposition": "none" if is_split else "outside",
        "cliponaxis": False,
        "marker": {
            "color": palette.TONES[series % len(palette.TONES)] if is_split else [_colour(mark) for mark in marks],
            "pattern": {"shape": palette.HATCHES[series % len(palette.HATCHES)] if is_split else _hatches(marks)},
        },
    }
    if picture.kind is Kind.WATERFALL:
        made["base"] = [mark.start for mark in marks]
    if picture.kind is Kind.HISTOGRAM:
        made["width"] = [mark.until - mark.at for mark in marks]
    return made


def _hatches(marks: Sequence[Mark]) -> list[str]:
    return ["/" if (mark.value or 0.0) < 0 else "" for mark in marks]


def _colour(mark: Mark) -> str:
    return palette.LIGHT[TONES[mark.tone]]


def _lines(picture: Picture, series: int, marks: Sequence[Mark]) -> Trace:
    tone = palette.TONES[series % len(palette.TONES)]
    made: Trace = {
        "type": "scatter",
        "mode": "markers" if picture.kind is Kind.POINTS else "lines+markers",
        "marker": {"color": tone, "size": 9, "symbol": palette.MARKS[series % len(palette.MARKS)]},
        "line": {"color": tone, "dash": palette.STROKES[series % len(palette.STROKES)]},
    }
    if picture.kind is Kind.STEPS:
        made["line"]["shape"] = "hv"
    if any(mark.low is not None for mark in marks):
        made["error_x" if picture.kind is Kind.POINTS else "error_y"] = _reach(marks)
    return made


def _reach(marks: Sequence[Mark]) -> Trace:
    """How far each interval goes from its point, as Plotly wants it."""
    return {
        "type": "data",
        "symmetric": False,
        "array": [None if mark.high is None else mark.high - (mark.value or 0.0) for mark in marks],
        "arrayminus": [None if mark.low is None else (mark.value or 0.0) - mark.low for mark in marks],
        "color": palette.GREY,
    }


def _cells(picture: Picture) -> Trace:
    """A square for each cell, its number written in it, its tone by its size."""
    marks = picture.drawn
    return {
        "type": "scatter",
        "mode": "markers+text",
        "x": [safe(mark.across) for mark in marks],
        "y": [safe(mark.label) for mark in marks],
        "text": [safe(mark.text) for mark in marks],
        "hoverinfo": "x+y+text",
        "marker": {
            "symbol": "square",
            "size": 44,
            "color": [mark.value for mark in marks],
            "colorscale": [[0.0, palette.LIGHT["band"]], [1.0, palette.LIGHT["tint4"]]],
        },
        "meta": _origin(picture, marks),
    }


def _block(picture: Picture, block: Block) -> Trace:
    left, right, bottom, top = block.left, block.left + block.width, block.bottom, block.bottom + block.height
    tone = palette.TONES[block.series % len(palette.TONES)]
    row = list(dict.fromkeys(each.view for each in picture.blocks)).index(block.view)
    down = -row * 1.15 * max(each.bottom + each.height for each in picture.blocks)
    return {
        "type": "scatter",
        "mode": "lines",
        "x": [left, right, right, left, left],
        "y": [down + y for y in (bottom, bottom, top, top, bottom)],
        "fill": "none" if block.is_dashed else "toself",
        "line": {"color": tone, "dash": "dash" if block.is_dashed else "solid"},
        "hoverinfo": "text",
        "text": safe(block.label or block.view),
        "meta": {"table": picture.table, "column": block.column, "rows": [block.row]},
    }


PLAIN_LAYOUT: dict[str, Any] = {
    "font": {"family": "system-ui, sans-serif", "size": 13},
    "paper_bgcolor": "rgba(0,0,0,0)",
    "plot_bgcolor": "rgba(0,0,0,0)",
    "margin": {"l": 10, "r": 16, "t": 40, "b": 10},
    "legend": {"orientation": "h", "x": 0, "y": 1.02, "yanchor": "bottom", "traceorder": "normal"},
    "hovermode": "closest",
    "bargap": 0.35,
}


def _drawing_layout() -> dict[str, Any]:
    plain = {"visible": False}
    return {**PLAIN_LAYOUT, "height": 420, "showlegend": False, "xaxis": plain, "yaxis": plain | {"scaleanchor": "x"}}


def _layout(picture: Picture) -> dict[str, Any]:
    measured = {"title": {"text": safe(picture.measured.title)}, **_number_axis(picture.measured), "automargin": True}
    is_rows = picture.kind in ROWS
    other: dict[str, Any] = {"title": {"text": safe(picture.along.title)}, "automargin": True}
    if is_rows or picture.kind is Kind.GRID:
        other |= {"type": "category"}
    upright = {"type": "category", "automargin": True, "autorange": "reversed"}
    names = {mark.label for mark in picture.drawn}
    return {
        **PLAIN_LAYOUT,
        "height": 110 + 34 * len(names) if is_rows or picture.kind is Kind.GRID else 360,
        "xaxis": measured if is_rows else other,
        "yaxis": upright if is_rows or picture.kind is Kind.GRID else measured,
        "barmode": "relative",
        "showlegend": len(picture.series) > 1,
        "shapes": [_limit(picture, limit.value) for limit in picture.limits],
    }


def _limit(picture: Picture, value: float) -> dict[str, Any]:
    is_upright = picture.kind in (*ROWS, Kind.HISTOGRAM)
    ends = {"x0": value, "x1": value, "y0": 0, "y1": 1, "yref": "paper"}
    flat = {"y0": value, "y1": value, "x0": 0, "x1": 1, "xref": "paper"}
    return {"type": "line", "line": {"color": palette.LIGHT["loss"], "dash": "dash"}, **(ends if is_upright else flat)}


def _number_axis(axis: Axis) -> dict[str, Any]:
    ticks = ".1~%" if axis.display is Display.RATE else ",~f"
    return {"tickformat": ticks, "tickprefix": axis.sign, "rangemode": "tozero" if axis.from_zero else "normal"}
