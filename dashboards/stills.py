"""Still pictures for a letter, from the same rows as the page's figures, each with words for those who see none."""

from __future__ import annotations

import io
import warnings
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd

from dashboards import few, figures, formats, palette, sentences
from dashboards.parts import Panel, Review
from dashboards.sections import damage, damage_corrected, item_types, trend
from models import columns
from models.shop_units import Units

MOST_BARS = 12
LABEL_LENGTH = 24
# Drawn as they are: a name may hold a dollar sign, which matplotlib would read as mathematics.
PLAIN = {"text.parse_math": False, "text.usetex": False, "font.family": "DejaVu Sans", "font.size": 9}
WIDTH_IN, DOTS_PER_IN = 6.4, 110


@dataclass(frozen=True)
class Still:
    """A picture: its name, what stands over it, what it shows in words, and its PNG."""

    name: str
    title: str
    alt: str
    png: bytes


@dataclass(frozen=True)
class _Drawing:
    section: Any
    panel: str
    column: str
    by: tuple[str, ...]
    draw: Callable[[Any, pd.DataFrame, _Drawing, Units], None]
    limits: tuple[str, ...] = ()

    @property
    def is_monthly(self) -> bool:
        return self.by == ("shipped_month",)


def stills(review: Review) -> list[Still]:
    """The pictures whose tables have rows: margin by month, cost per item type, damage by goods and packing method."""
    drawings = (drawing for drawing in DRAWINGS if not _is_replaced(drawing, review))
    return [made for drawing in drawings if (made := _still(drawing, review))]


def _is_replaced(drawing: _Drawing, review: Review) -> bool:
    return bool(drawing.section.SECTION.replaced_by) and review.has(drawing.section.SECTION.replaced_by)


def _still(drawing: _Drawing, review: Review) -> Still | None:
    panel = _panel(drawing)
    rows = review.table(panel.table) if panel else pd.DataFrame()
    if panel is None or sentences.is_told(panel.unless, review):
        return None
    if rows.empty or not {drawing.column, *drawing.by} <= set(rows.columns):
        return None
    kept = _kept(panel.choose(review, rows).dropna(subset=[drawing.column]), drawing)
    if kept.empty:
        return None
    title = f"{columns.label(drawing.column)} by {', '.join(columns.label(name).lower() for name in drawing.by)}"
    return Still(drawing.panel, title, _alt(title, kept, drawing, review), _png(kept, drawing, review.units))


def _kept(rows: pd.DataFrame, drawing: _Drawing) -> pd.DataFrame:
    if drawing.is_monthly:
        return rows.tail(trend.MONTHS_SHOWN)
    told = few.enough(rows) if drawing.column in few.SHARES else rows
    enough = told[~told["is_too_few"].astype(bool)] if "is_too_few" in told.columns else told
    return enough.sort_values(drawing.column, ascending=False, kind="stable").head(MOST_BARS)


def _panel(drawing: _Drawing) -> Panel | None:
    parts = (part for part in drawing.section.SECTION.parts if isinstance(part, Panel))
    return next((part for part in parts if part.name == drawing.panel), None)


def _alt(title: str, rows: pd.DataFrame, drawing: _Drawing, review: Review) -> str:
    names, amounts = _names(rows, drawing), figures_of(rows, drawing.column, review.units)
    reported = "; ".join(f"{name} {amount}" for name, amount in zip(names, amounts, strict=True))
    return f"Bar chart: {title}. {reported}."


def figures_of(rows: pd.DataFrame, column: str, units: Units) -> list[str]:
    """The column's cells as tables write them."""
    return [formats.shown(cell, column, units) for cell in rows[column]]


def _names(rows: pd.DataFrame, drawing: _Drawing) -> list[str]:
    if drawing.is_monthly:
        return [formats.short_month(month) for month in rows["shipped_month"]]
    return [
        ", ".join(formats.plain(name, LABEL_LENGTH) for name in names)
        for names in rows[list(drawing.by)].itertuples(index=False)
    ]


def _png(rows: pd.DataFrame, drawing: _Drawing, units: Units) -> bytes:
    import matplotlib as mpl
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    out = io.BytesIO()
    with mpl.rc_context(PLAIN), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing")  # a box stands for a letter the font lacks
        tall = 2.6 if drawing.is_monthly else 0.7 + 0.3 * len(rows)
        picture = Figure(figsize=(WIDTH_IN, tall), dpi=DOTS_PER_IN, layout="constrained")
        FigureCanvasAgg(picture)
        axes = picture.add_subplot()
        drawing.draw(axes, rows, drawing, units)
        axes.spines[["top", "right"]].set_visible(False)
        picture.savefig(out, format="png", metadata={"Software": None})
    return out.getvalue()


def _amounts(rows: pd.DataFrame, column: str, units: Units) -> list[float]:
    return [amount or 0.0 for amount in figures.values(rows, column, units)]


def _colours(amounts: Sequence[float]) -> list[str]:
    return [palette.VERMILION if amount < 0 else palette.BLUE for amount in amounts]


def _hatch(bars: Any, amounts: Sequence[float]) -> None:
    for bar, amount in zip(bars, amounts, strict=True):
        if amount < 0:  # told apart without colour too
            bar.set_hatch("///")
            bar.set_edgecolor("white")


def _across(axes: Any, rows: pd.DataFrame, drawing: _Drawing, units: Units) -> None:
    amounts = _amounts(rows, drawing.column, units)
    places = range(len(rows))
    bars = axes.barh(places, amounts, color=_colours(amounts), height=0.65)
    _hatch(bars, amounts)
    labels = figures_of(rows, drawing.column, units)
    if drawing.limits:
        _draw_limits(axes, rows, drawing, amounts, labels)
    else:
        axes.bar_label(bars, labels=labels, padding=3)
    axes.set_yticks(list(places), _names(rows, drawing))
    axes.invert_yaxis()
    axes.margins(x=0.18)
    axes.xaxis.set_visible(False)
    axes.spines["bottom"].set_visible(False)


def _draw_limits(
    axes: Any, rows: pd.DataFrame, drawing: _Drawing, amounts: Sequence[float], labels: Sequence[str]
) -> None:
    low, high = (rows[name].astype(float).to_numpy() for name in drawing.limits)
    axes.errorbar(amounts, range(len(rows)), xerr=[amounts - low, high - amounts], fmt="none", ecolor="#211e1a")
    for place, (end, label) in enumerate(zip(high, labels, strict=True)):
        axes.annotate(label, (end, place), xytext=(4, 0), textcoords="offset points", va="center")


def _upright(axes: Any, rows: pd.DataFrame, drawing: _Drawing, units: Units) -> None:
    amounts = _amounts(rows, drawing.column, units)
    places = range(len(rows))
    _hatch(axes.bar(places, amounts, color=_colours(amounts), width=0.7), amounts)
    axes.axhline(0, color=palette.GREY, linewidth=0.8)
    names = _names(rows, drawing)
    axes.set_xticks(list(places)[::-3], names[::-3])
    axes.set_ylabel(f"{columns.label(drawing.column)}, {units.currency}")
    axes.yaxis.set_major_formatter("{x:,.0f}")


DRAWINGS = (
    _Drawing(trend, "months", "margin_cents", ("shipped_month",), _upright),
    _Drawing(item_types, "item-type-costs", "cost_per_piece_cents", ("item_type",), _across),
    _Drawing(damage, "damage-methods", "crude_damage_rate", ("packing_method",), _across),
    _Drawing(
        damage_corrected,
        "damage-rates",
        "damage_rate",
        ("item_type", "packing_method"),
        _across,
        ("damage_rate_low", "damage_rate_high"),
    ),
)
