"""Descriptions of parts that add up, by row or by month, and of values by two names at once."""

from collections.abc import Sequence
from dataclasses import replace

import pandas as pd

from dashboards import curves, figures, formats
from dashboards.panels import Frame
from dashboards.pictures.picture import Axis, Kind, Mark, Picture, Tone
from models import columns

# Rows of a grid that can be read as one picture.
MOST_NAMES = 40


def _plain(_: float) -> Tone:
    return Tone.PLAIN


def stacked_rows(rows: pd.DataFrame, frame: Frame, by: Sequence[str], parts: Sequence[str], total: str) -> Picture:
    """Horizontal bars, one per row at its `by` label, one piece per named column; the cell of `total` at the end."""
    drawn = rows.head(figures.MOST_BARS)
    labels = figures.row_labels(drawn, by)
    made = [
        mark
        for at, column in enumerate(parts)
        for mark in figures.marks(drawn, frame, labels, column, _plain, series=at)
    ]
    sums = figures.marks(drawn, frame, labels, total, _plain)
    return Picture(
        Kind.ROW_STACKS,
        frame.table,
        tuple(made),
        totals=tuple(mark for mark in sums if mark.value is not None),
        measured=figures.axis(total, frame.units),
        series=tuple(columns.label(column) for column in parts),
        left_out=len(rows) - len(drawn),
    )


def stacked_months(rows: pd.DataFrame, frame: Frame, column: str, split: str) -> Picture:
    """Upright bars by month, one piece per row, by the `split` column."""
    ordered = rows.sort_values(["shipped_month", split], kind="stable")
    names = [formats.plain(name, figures.LONGEST_NAME) for name in ordered[split]]
    series = list(dict.fromkeys(sorted(names)))
    labels = [formats.short_month(month) for month in ordered["shipped_month"]]
    made = figures.marks(ordered, frame, labels, column, _plain)
    placed = zip(made, curves.ordinals(ordered, "shipped_month"), names, strict=True)
    return Picture(
        Kind.MONTH_STACKS,
        frame.table,
        tuple(replace(mark, at=at, series=series.index(name)) for mark, at, name in placed),
        measured=figures.axis(column, frame.units),
        along=curves.MONTHS,
        series=tuple(series),
    )


def grid(rows: pd.DataFrame, frame: Frame, by: str, across: str, column: str, is_marked: str = "") -> Picture:
    """The column's cells, a row per value of `by`, a column per value of `across`. is_marked: a flag of the unusual."""
    drawn = rows[rows[by].isin(rows[by].drop_duplicates().head(MOST_NAMES))]
    made = figures.marks(drawn, frame, _names(drawn, by), column)
    heads = _names(drawn, across)
    flags = drawn[is_marked].astype(bool) if is_marked else [False] * len(drawn)
    return Picture(
        Kind.GRID,
        frame.table,
        tuple(_celled(mark, head, is_set=bool(flag)) for mark, head, flag in zip(made, heads, flags, strict=True)),
        measured=figures.axis(column, frame.units),
        along=Axis(f"{figures.axis(column, frame.units).title}, by {columns.label(across).lower()}"),
        left_out=len(rows) - len(drawn),
    )


def _names(rows: pd.DataFrame, column: str) -> list[str]:
    """The column's values as labels; names that are alike once they are cut stay apart."""
    known = rows[[column]].drop_duplicates()
    labels = dict(zip(known[column], figures.row_labels(known, [column]), strict=True))
    return [labels[name] for name in rows[column]]


def _celled(mark: Mark, head: str, *, is_set: bool) -> Mark:
    return replace(mark, across=head, tone=Tone.MARKED if is_set else mark.tone)
