"""Descriptions of figures from rows of a table: bars, steps that lead from one sum to another, counts over bins.

Each mark names its column and row, so that the page can filter it and a test can walk it; values are the cells
themselves, money in the major unit, measures in the shop's.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import pandas as pd

from dashboards import formats
from dashboards.panels import Frame
from dashboards.pictures.picture import Axis, Kind, Limit, Mark, Picture, Tone
from models import columns
from models.columns import Display
from models.shop_units import Units, number

LONGEST_NAME = 60
MOST_BARS = 12
MONEY = (Display.MONEY, Display.CHANGE)
Toned = Callable[[float], Tone]


def row_labels(rows: pd.DataFrame, by: Sequence[str], apart: Sequence[str] = ()) -> list[str]:
    """A label per row from the `by` columns; equal ones are distinguished by the `apart` columns, else by a number."""
    short = _joined(rows, by)
    full = [
        whole if short.count(label) > 1 else label
        for label, whole in zip(short, _joined(rows, [*by, *apart]), strict=True)
    ]
    return [label if (nth := full[:at].count(label) + 1) == 1 else f"{label} ({nth})" for at, label in enumerate(full)]


def _joined(rows: pd.DataFrame, by: Sequence[str]) -> list[str]:
    names = rows[list(by)].itertuples(index=False)
    return [", ".join(map(_named, name)) for name in names]


def _named(part: object) -> str:
    return formats.NOT_KNOWN if formats.is_unknown(part) else formats.plain(part, LONGEST_NAME)


def values(rows: pd.DataFrame, column: str, units: Units) -> list[float | None]:
    """The column's cells for an axis; null stays null, so nothing is drawn there."""
    scale = 10.0 ** formats.minor_digits(units.currency) if columns.display(column) in MONEY else 1.0
    return [None if formats.is_unknown(cell) else units.value(column, cell) / scale for cell in rows[column]]


def written(rows: pd.DataFrame, column: str, units: Units) -> list[str]:
    """The column's cells as a picture writes them: amounts in whole units of the currency where they are large."""
    display, amounts = columns.display(column), values(rows, column, units)
    if display in MONEY:
        is_whole = max((abs(each) for each in amounts if each is not None), default=0.0) >= formats.WHOLE_FROM
        return [
            amount(each, units.currency, is_whole=is_whole, is_signed=display is Display.CHANGE) for each in amounts
        ]
    if display is Display.RATE:
        return [share(each) for each in amounts]
    return [formats.shown(cell, column, units) for cell in rows[column]]


def amount(value: float | None, currency: str, *, is_whole: bool, is_signed: bool = False) -> str:
    """An amount in the major unit, written with its sign before all else."""
    if value is None:
        return formats.NOT_KNOWN
    digits = 0 if is_whole else formats.minor_digits(currency)
    rounded = round(value, digits) + 0.0
    before = "-" if rounded < 0 else "+" if is_signed and rounded > 0 else ""
    return f"{before}{sign(currency)}{abs(rounded):,.{digits}f}"


def share(value: float | None) -> str:
    """A fraction as percent, without decimals from ten percent on, but where less than all would be 100%."""
    if value is None:
        return formats.NOT_KNOWN
    return formats.whole_rate(value) if abs(value) >= formats.WHOLE_SHARE else f"{number(100 * value, 1)}%"


def sign(currency: str) -> str:
    """What stands before an amount of the currency."""
    return formats.SIGNS.get(currency, f"{currency} ")


def axis(column: str, units: Units, title: str = "", *, from_zero: bool = True) -> Axis:
    """The axis that measures a column, its title with the unit."""
    display = columns.display(column)
    is_money = display in MONEY
    words = title or (f"{columns.label(column)}, {units.currency}" if is_money else columns.head(column, units))
    return Axis(words, display, sign(units.currency) if is_money else "", from_zero)


def by_sign(value: float) -> Tone:
    """A loss is bad; what is above zero is as it should be."""
    return Tone.BAD if value < 0 else Tone.PLAIN


def better_or_worse(value: float) -> Tone:
    """Of a change of margin: either way is shown."""
    return Tone.BAD if value < 0 else Tone.GOOD


def cost_change(value: float) -> Tone:
    """Of a change of cost: a rise is bad."""
    return Tone.BAD if value > 0 else Tone.GOOD


def marks(
    rows: pd.DataFrame, frame: Frame, labels: Sequence[str], column: str, toned: Toned = by_sign, **same: Any
) -> list[Mark]:
    """One mark per row at its label. same: what all of them share, as series."""
    cells = zip(values(rows, column, frame.units), written(rows, column, frame.units), labels, rows.index, strict=True)
    name = frame.units.name(column)
    return [
        Mark(label, value, text, name, int(row), tone=toned(value or 0.0), **same) for value, text, label, row in cells
    ]


def ranked_bars(
    rows: pd.DataFrame, frame: Frame, by: Sequence[str], column: str, toned: Toned = by_sign, apart: Sequence[str] = ()
) -> Picture:
    """Horizontal bars, one per row, first row on top, the cell written at its end; below zero they are hatched."""
    known = rows[rows[column].notna().to_numpy(bool)]
    drawn = known.head(MOST_BARS)
    made = marks(drawn, frame, row_labels(drawn, by, apart), column, toned)
    return Picture(
        Kind.BARS, frame.table, tuple(made), measured=axis(column, frame.units), left_out=len(known) - len(drawn)
    )


def waterfall(rows: pd.DataFrame, frame: Frame, by: str, column: str, start: str, total: int = -1) -> Picture:
    """Steps that lead to a sum, each bar begun at the cell of `start`. total: place of the row that is the sum."""
    starts = values(rows, start, frame.units)
    made = marks(rows, frame, row_labels(rows, [by]), column, better_or_worse)
    last = range(len(made))[total] if made else 0
    placed = [
        with_start(mark, first or 0.0, Tone.QUIET if at == last else mark.tone)
        for at, (mark, first) in enumerate(zip(made, starts, strict=True))
    ]
    return Picture(Kind.WATERFALL, frame.table, tuple(placed), measured=axis(column, frame.units))


def with_start(mark: Mark, start: float, tone: Tone) -> Mark:
    """The mark, begun elsewhere than at zero."""
    return Mark(mark.label, mark.value, mark.text, mark.column, mark.row, tone=tone, start=start)


def histogram(
    rows: pd.DataFrame,
    frame: Frame,
    column: str,
    ends: tuple[str, str],
    is_bad: pd.Series,
    limits: Sequence[Limit] = (),
) -> Picture:
    """Counts of `column`, a bar per row from the first to the second cell of `ends`; bad ones as `is_bad` says."""
    lower, upper = (values(rows, name, frame.units) for name in ends)
    named = zip(*(written(rows, name, frame.units) for name in ends), strict=True)
    labels = [f"{low} to {high}" for low, high in named]
    made = marks(rows, frame, labels, column)
    return Picture(
        Kind.HISTOGRAM,
        frame.table,
        tuple(
            replace(mark, at=low, until=high, tone=Tone.BAD if bad else Tone.PLAIN)
            for mark, low, high, bad in zip(made, lower, upper, is_bad, strict=True)
            if low is not None and high is not None
        ),
        measured=axis(column, frame.units),
        along=axis(ends[0], frame.units),
        limits=tuple(limits),
    )
