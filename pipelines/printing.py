"""Rows and sentences on a terminal: labels, money and days as on the page, and no word broken in two.

A table is as wide as the terminal. Columns without anything in them are left out, and text with one value for all rows
stands in the title. Where even the longest words of all columns do not fit, each row stands upright, a line for each
column.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from numbers import Number
from typing import TYPE_CHECKING, Any

from rich.box import SIMPLE_HEAD
from rich.cells import cell_len
from rich.console import Console, ConsoleOptions, RenderResult
from rich.table import Table
from rich.text import Text

from dashboards import formats
from models import columns
from models.actions.action import BETWEEN_NAMES
from models.fields import Quantity
from models.shop_units import Units
from models.visible import visible, wrapped
from pipelines.printed_json import print_json as print_json
from pipelines.printed_json import records as records

if TYPE_CHECKING:
    import pandas as pd

GAP = 2  # blanks between two columns
MOST_UPRIGHT = 3  # rows of many columns that stand upright rather than lose some
NARROWEST = 20  # characters of a text that is broken between words; in less it would stand on end


@dataclass(frozen=True)
class Column:
    """A column as it is printed. is_worded: may be broken between words."""

    head: str
    cells: Sequence[str]
    is_figure: bool
    is_worded: bool

    @property
    def is_bare(self) -> bool:
        """Whether it says nothing: all unknown, or figures that are all zero."""
        return not any(_says(cell, self.is_figure) for cell in self.cells)

    @property
    def widths(self) -> tuple[int, int]:
        """The least width, and the width at which only the header is broken. No word is broken at either."""
        longest = max(map(cell_len, self.cells), default=0)
        words = max((cell_len(word) for cell in self.cells for word in cell.split()), default=0)
        head = max(map(cell_len, self.head.split()))
        return max(head, words, min(longest, NARROWEST)) if self.is_worded else max(head, longest), max(head, longest)


def _says(cell: str, is_figure: bool) -> bool:
    return any(sign in "123456789" for sign in cell) if is_figure else bool(cell)


@dataclass(frozen=True)
class Listing:
    """Rows under a title; fits itself to the width of the terminal it is printed on.

    narrow: whether columns before the last may be left out, so that more than MOST_UPRIGHT rows stay a table.
    hidden: rows that are not listed.
    """

    title: str
    columns: Sequence[Column]
    is_upright: bool = False
    narrow: bool = False
    hidden: int = 0

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        if not any(column.cells for column in self.columns):
            yield Prose(f"{self.title}: none", style="bold")
            return
        yield Prose(self.title, style="bold")
        shown, widths = self._fitted(options.max_width)
        yield from [_table(shown, widths)] if widths else _upright(shown)
        if len(shown) < len(self.columns):
            left_out = "; ".join(column.head for column in self.columns if column not in shown)
            yield Prose(f"left out for want of width, shown in a wider terminal: {left_out}")
        if self.hidden:
            yield Text(f"and {self.hidden:,} more")

    def _fitted(self, width: int) -> tuple[Sequence[Column], list[int]]:
        """The columns to print and their widths; no widths where the rows stand upright."""
        if self.is_upright:
            return self.columns, []
        is_cut = self.narrow and len(self.columns) > 1 and len(self.columns[0].cells) > MOST_UPRIGHT
        shown = _with_room(self.columns, width) if is_cut else self.columns
        return shown, fitted(shown, width)


def _with_room(columns: Sequence[Column], width: int) -> list[Column]:
    """The first and the last column, and of those between each for which there is room beside the ones before it."""
    first, *between, last = columns
    shown = [first]
    for column in between:
        shown += [column] if fitted([*shown, column, last], width) else []
    return [*shown, last]


def fitted(shown: Sequence[Column], width: int) -> list[int]:
    """A width for each column, together at most `width`, none less than its longest word; empty where none will do."""
    room = width - GAP * (len(shown) - 1)
    whole = [max(cell_len(column.head), column.widths[1]) for column in shown]
    unbroken, least = [column.widths[1] for column in shown], [column.widths[0] for column in shown]
    if sum(least) > room:
        return []
    # Headers are broken before cells are.
    return _levelled(_levelled(whole, unbroken, room), least, room)


def _levelled(widths: list[int], least: Sequence[int], room: int) -> list[int]:
    """Takes from the widest column that can give, until all fit or none can."""
    given = list(widths)
    while sum(given) > room and given != list(least):
        widest = max((at for at in range(len(given)) if given[at] > least[at]), key=given.__getitem__)
        given[widest] -= 1
    return given


def _table(shown: Sequence[Column], widths: Sequence[int]) -> Table:
    table = Table(box=SIMPLE_HEAD, show_edge=False, padding=(0, 1, 0, 0), pad_edge=False)
    for column, width in zip(shown, widths, strict=True):
        table.add_column(Text(column.head), justify="right" if column.is_figure else "left", width=width)
    for cells in zip(*(column.cells for column in shown), strict=True):
        table.add_row(*(Text(visible(cell)) for cell in cells))
    return table


def _upright(shown: Sequence[Column]) -> Iterator[Table | Text]:
    head = max(cell_len(column.head) for column in shown) + 1
    for row in range(len(shown[0].cells)):
        if row:
            yield Text("")
        table = Table.grid(padding=(0, 2, 0, 0))
        table.add_column(width=head)
        table.add_column(overflow="fold")
        for column in shown:
            if column.cells[row]:
                table.add_row(Text(f"{column.head}:"), Text(visible(column.cells[row])))
        yield table


def rows(
    title: str, frame: pd.DataFrame, units: Units, *, most: int | None = None, of: int = 0, narrow: bool = False
) -> Listing:
    """A frame as a table, of long ones the first `most` rows. Cells are text, never markup.

    units: how the shop writes amounts and measures. of: how many rows there are, where the frame is only the first of
    them. narrow: see Listing.
    """
    every = _columns(frame.head(most) if most is not None else frame, units)
    same = [column for column in every if not column.is_figure and len(set(column.cells)) == 1 < len(frame)]
    kept = [column for column in every if column not in same] or every
    telling = (column for column in same if column.cells[0] != formats.NOT_KNOWN)
    said = ", ".join(f"{column.head[:1].lower()}{column.head[1:]} {column.cells[0]}" for column in telling)
    hidden = 0 if most is None else max(0, max(of, len(frame)) - most)
    title = f"{title}: {said}" if said and kept is not every else title
    return Listing(title, kept, narrow=narrow, hidden=hidden)


def listed(
    title: str,
    heads: Sequence[str],
    rows: Iterable[Sequence[object]],
    *,
    figures: Collection[str] = (),
    worded: Collection[str] = (),
    narrow: bool = False,
) -> Listing:
    """Rows of no table of the warehouse. figures, worded: heads of columns of figures, and of those that may be broken
    between words. narrow: see Listing."""
    cells = zip(*([visible(str(cell)) for cell in row] for row in rows), strict=True)
    shown = [Column(head, each, head in figures, head in worded) for head, each in zip(heads, cells, strict=True)]
    return Listing(title, shown, narrow=narrow)


def record(title: str, frame: pd.DataFrame, units: Units) -> Listing:
    """A frame of one row, upright: a line for each column that says something."""
    return Listing(title, _columns(frame.head(1), units), is_upright=True)


def either(title: str, frame: pd.DataFrame, units: Units) -> Listing:
    """A single row upright, several as a table."""
    return record(title, frame, units) if len(frame) == 1 else rows(title, frame, units)


def _columns(frame: pd.DataFrame, units: Units) -> list[Column]:
    cells = zip(*frame.itertuples(index=False), strict=True) if len(frame) else ([] for _ in frame.columns)
    every = [_column(str(name), list(column), units) for name, column in zip(frame.columns, cells, strict=True)]
    return [column for column in every if not column.is_bare] or every[:1]


def _column(name: str, values: Sequence[Any], units: Units) -> Column:
    quantity, head = columns.quantity(name), columns.label(name)
    if quantity is not Quantity.MONEY and (unit := columns.unsaid_unit(name, units)):
        head = f"{head}, {unit}"
    is_figure = _are_numbers(values) if quantity is Quantity.TEXT else columns.is_figure(name)
    cells = [_cell(value, quantity, name, units) for value in values]
    return Column(head, cells, is_figure, is_worded=quantity is Quantity.TEXT)


def _are_numbers(values: Sequence[Any]) -> bool:
    known = [value for value in values if not formats.is_unknown(value)]
    return bool(known) and all(isinstance(value, Number) and not isinstance(value, bool) for value in known)


def _cell(value: object, quantity: Quantity, name: str, units: Units) -> str:
    """As on the page, unknown cells empty but for names; text is known by what it holds: listings have own columns."""
    if formats.is_unknown(value):
        return formats.NOT_KNOWN if isinstance(value, str) else ""
    if quantity is not Quantity.TEXT:
        return formats.shown(value, name, units)
    if isinstance(value, dt.datetime):
        return formats.day(value) if value.time() == dt.time() else formats.instant(value)
    text = str(value).replace(BETWEEN_NAMES, "; ")
    return formats.number(value) if isinstance(value, float) else formats.plain(text, longest=1_000)


@dataclass(frozen=True)
class Prose:
    """Sentences, each line broken between words; what goes on stands further in."""

    text: str
    style: str = ""

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        lines = (wrapped(line, options.max_width) for line in visible(self.text).split("\n"))
        yield Text("\n".join(lines), style=self.style, no_wrap=True, overflow="ignore")


def say(text: str, *, is_error: bool = False) -> None:
    """Print sentences to standard output, or to standard error."""
    Console(stderr=is_error).print(Prose(text), crop=False)  # a path is of use only whole


def show(*parts: Listing | Prose | str) -> None:
    """Print tables and sentences to standard output, a blank line behind them where "" comes last."""
    Console().print(*parts, crop=False)
