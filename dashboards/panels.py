"""The parts of a section: panels and statements, how their rows are chosen and drawn."""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Concatenate, ParamSpec

import pandas as pd

from dashboards.pictures.picture import Picture
from dashboards.review_tables import Review, in_month
from dashboards.words import Words, words
from models.shop_units import Units
from models.tables import TABLES

P = ParamSpec("P")
Chooser = Callable[[Review, pd.DataFrame], pd.DataFrame]
Drawer = Callable[[pd.DataFrame, "Frame"], Picture]


@dataclass(frozen=True)
class Frame:
    """What a figure must know beside its rows: which table they come from, and how the shop writes."""

    table: str
    units: Units
    month: dt.date

    @property
    def currency(self) -> str:
        """The currency of all amounts (ISO 4217)."""
        return self.units.currency


def this_month(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the rows of the month reviewed."""
    return in_month(rows, review.month)


def every_row(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: all rows as they stand."""
    return rows


def all_by(order: str, most: int | None = None) -> Chooser:
    """A chooser of all rows, or the first few, in the order of columns parted by blanks, `-name` the greatest first."""

    def choose(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
        return _ordered(rows, order).head(len(rows) if most is None else most)

    return choose


def month_by(order: str) -> Chooser:
    """A chooser of the rows of the month reviewed, in the order of some columns as `all_by` has it."""
    return lambda review, rows: _ordered(in_month(rows, review.month), order)


def _ordered(rows: pd.DataFrame, order: str) -> pd.DataFrame:
    names = order.split()
    is_rising = [not name.startswith("-") for name in names]
    return rows.sort_values([name.removeprefix("-") for name in names], ascending=is_rising, kind="stable")


def drawn(draw: Callable[Concatenate[pd.DataFrame, Frame, P], Picture], *args: P.args, **more: P.kwargs) -> Drawer:
    """A drawer that draws as `draw` does with what follows the rows and the frame."""
    return lambda rows, frame: draw(rows, frame, *args, **more)


def all_columns(table: str, first: str = "", but: str = "") -> tuple[str, ...]:
    """Every column of the table's contract but some: the named first ones, then the rest in the contract's order.

    What a table gains is shown of itself. first, but: names parted by blanks.
    """
    named = first.split()
    return (*named, *(name for name in TABLES[table].columns if name not in {*named, *but.split()}))


@dataclass(frozen=True)
class Panel:
    """A figure with its table under it. Sentences are ids of dashboards/sentences.

    name: unique on the page. choose: picks and orders rows of `table`, never changes one. columns: shown left to right,
    the first as row header. draw: the figure, if any. when_empty: what may be said where there are no rows. note: what
    stands below. unless: sentences that, where true, stand in place of the rows, which would mislead. draws_shares:
    whether the figure is of shares of parcels, which are not drawn of few. foremost: the columns that stand open at the
    head of a chapter, the others unfold; all of them without it. is_filtered: whether a reader may choose its rows by
    item type, carton, and so on. marks_overdue: whether deadlines before the day of making are marked. A part without
    rows is not shown.
    """

    name: str
    title: str
    table: str
    columns: Sequence[str]
    when_empty: Sequence[str]
    choose: Chooser = this_month
    draw: Drawer | None = None
    note: Sequence[str] = ()
    is_folded: bool = False
    unless: Sequence[str] = ()
    draws_shares: bool = False
    foremost: Sequence[str] = ()
    is_filtered: bool = True
    marks_overdue: bool = False


def panel(
    name: str,
    title: str,
    table: str,
    columns: Words,
    choose: Chooser = this_month,
    draw: Drawer | None = None,
    *,
    when_empty: Words = (),
    note: Words = (),
    unless: Words = (),
    foremost: Words = (),
    **flags: bool,
) -> Panel:
    """A panel as a section states it: columns and sentence ids parted by blanks, or a sequence. flags: Panel's."""
    return Panel(
        name,
        title,
        table,
        words(columns),
        words(when_empty),
        choose,
        draw,
        note=words(note),
        unless=words(unless),
        foremost=words(foremost),
        **flags,
    )


@dataclass(frozen=True)
class Statement:
    """A table on its side: one line per column of `table`, in named groups; one money column per chosen row."""

    name: str
    title: str
    table: str
    groups: Mapping[str, Sequence[str]]
    when_empty: Sequence[str]
    choose: Chooser
    head: str = "shipped_month"
    note: Sequence[str] = ()
    is_folded: bool = False
    unless: Sequence[str] = ()


@dataclass(frozen=True)
class Section:
    """One part of the page. order: its place, lower first. chapter: the one of dashboards/chapters.py it stands in.
    lead: ids of the sentences that may stand under its title; points: of those that stand as a list, one each.

    Shown when the review has at least one of its tables, and not the table in `replaced_by`, with which another
    section says the same better. A module in dashboards/sections with a constant SECTION is found by itself.
    """

    order: int
    name: str
    title: str
    lead: Sequence[str]
    parts: Sequence[Panel | Statement] = field(default=())
    is_headline: bool = False
    replaced_by: str = ""
    points: Sequence[str] = ()
    chapter: str = ""

    def is_shown(self, review: Review) -> bool:
        """Whether the review shows the section."""
        has_any = self.is_headline or bool(self.points) or any(review.has(part.table) for part in self.parts)
        return has_any and not (self.replaced_by and review.has(self.replaced_by))
