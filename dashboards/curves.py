"""Descriptions of lines: measures by month or week, one measure against another."""

from collections.abc import Sequence
from dataclasses import replace

import pandas as pd

from dashboards import figures, formats
from dashboards.panels import Frame
from dashboards.pictures.picture import Axis, Kind, Limit, Mark, Picture
from models import columns
from models.columns import Display

MONTHS, DAYS = Axis(display=Display.MONTH), Axis(display=Display.DAY)


def ordinals(rows: pd.DataFrame, column: str) -> list[float]:
    """Months as whole numbers (12 x year + month - 1), days as theirs in the calendar."""
    if columns.display(column) is Display.MONTH:
        return [float(12 * when.year + when.month - 1) for when in rows[column]]
    return [float(when.toordinal()) for when in rows[column]]


def time_lines(
    rows: pd.DataFrame, frame: Frame, names: Sequence[str], along: str = "shipped_month", limits: Sequence[str] = ()
) -> Picture:
    """One line per named column over the months or days of `along`. limits: two columns of a band round the first."""
    made = [mark for at, column in enumerate(names) for mark in _line(rows, frame, column, at, along)]
    if limits:
        made = [*_banded(made[: len(rows)], rows, frame, limits), *made[len(rows) :]]
    title = "" if len(names) == 1 else frame.units.currency if _is_money(names) else " "
    return Picture(
        Kind.LINES,
        frame.table,
        tuple(made),
        measured=figures.axis(names[0], frame.units, title),
        along=MONTHS if columns.display(along) is Display.MONTH else DAYS,
        series=tuple(columns.label(column) for column in names),
    )


def _is_money(names: Sequence[str]) -> bool:
    return all(columns.display(name) in figures.MONEY for name in names)


def _line(rows: pd.DataFrame, frame: Frame, column: str, series: int, along: str) -> list[Mark]:
    labels = [formats.shown(when, along, frame.units) for when in rows[along]]
    made = figures.marks(rows, frame, labels, column, series=series)
    return [replace(mark, at=at) for mark, at in zip(made, ordinals(rows, along), strict=True)]


def _banded(made: Sequence[Mark], rows: pd.DataFrame, frame: Frame, limits: Sequence[str]) -> list[Mark]:
    low, high = (figures.values(rows, name, frame.units) for name in limits)
    return [replace(mark, low=a, high=b) for mark, a, b in zip(made, low, high, strict=True)]


def steps(rows: pd.DataFrame, frame: Frame, along: str, column: str, limits: Sequence[Limit] = ()) -> Picture:
    """`column` over the measure `along`: what it is from each row's measure to the next one's."""
    ordered = rows.sort_values(along, kind="stable")
    places = figures.values(ordered, along, frame.units)
    labels = [f"{columns.label(along)} {text}" for text in figures.written(ordered, along, frame.units)]
    made = figures.marks(ordered, frame, labels, column)
    return Picture(
        Kind.STEPS,
        frame.table,
        tuple(replace(mark, at=at) for mark, at in zip(made, places, strict=True) if at is not None),
        measured=figures.axis(column, frame.units),
        along=figures.axis(along, frame.units),
        series=(columns.label(column),),
        limits=tuple(limits),
    )
