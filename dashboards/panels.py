"""The parts of a section: panels and statements, how their rows are chosen and drawn."""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import KW_ONLY, dataclass, field
from typing import Concatenate, ParamSpec

import pandas as pd

from dashboards.pictures.picture import Picture
from dashboards.review_tables import Review, in_month
from dashboards.sentences import words
from dashboards.sentences.grounds import flagged
from models.shop_units import Units
from models.tables import TABLES

P = ParamSpec("P")
Chooser = Callable[[Review, pd.DataFrame], pd.DataFrame]
# Flags parted by blanks, `-name` where it must not be set, or what the columns must say.
Where = str | Callable[[pd.DataFrame], "pd.Series[bool]"]
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


def all_by(order: str = "", most: int | None = None, where: Where = "") -> Chooser:
    """A chooser of all rows, or the first few, in the order of columns parted by blanks, `-name` the greatest first.

    where: which rows alone.
    """
    return lambda review, rows: _ordered(_kept(rows, where), order, most)


def month_by(order: str, most: int | None = None, where: Where = "") -> Chooser:
    """A chooser as `all_by`, of the rows of the month reviewed."""
    return lambda review, rows: all_by(order, most, where)(review, in_month(rows, review.month))


def found_by(find: Callable[[Review], pd.DataFrame], order: str = "", most: int | None = None) -> Chooser:
    """A chooser of the rows that sentences rest on, in an order as `all_by` has it."""
    return lambda review, rows: _ordered(find(review), order, most)


def _kept(rows: pd.DataFrame, where: Where) -> pd.DataFrame:
    return flagged(rows, *where.split()) if isinstance(where, str) else rows[where(rows)]


def _ordered(rows: pd.DataFrame, order: str, most: int | None) -> pd.DataFrame:
    if names := order.split():
        by, is_rising = [name.removeprefix("-") for name in names], [not name.startswith("-") for name in names]
        rows = rows.sort_values(by, ascending=is_rising, kind="stable")
    return rows if most is None else rows.head(most)


def drawn(draw: Callable[Concatenate[pd.DataFrame, Frame, P], Picture], *args: P.args, **more: P.kwargs) -> Drawer:
    """A drawer that draws as `draw` does with what follows the rows and the frame."""
    return lambda rows, frame: draw(rows, frame, *args, **more)


def all_columns(table: str, first: str = "", but: str = "") -> tuple[str, ...]:
    """Every column of the table's contract but some: the named first ones, then the rest in the contract's order.

    What a table gains is shown of itself. first, but: names parted by blanks.
    """
    named = first.split()
    return (*named, *(name for name in TABLES[table].columns if name not in {*named, *but.split()}))


class _Named:
    """What a section is made of: columns and ids of sentences, which may be stated as names parted by blanks."""

    def __post_init__(self) -> None:
        for name in ("columns", "when_empty", "note", "unless", "foremost", "lead", "points"):
            if hasattr(self, name):
                object.__setattr__(self, name, words(getattr(self, name)))


@dataclass(frozen=True)
class Panel(_Named):
    """A figure with its table under it. Sentences are ids of dashboards/sentences.

    name: unique on the page. columns: shown left to right, the first as row header. choose: picks and orders rows of
    `table`, never changes one. draw: the figure, if any. when_empty: what may be said where there are no rows. note:
    what stands below. unless: sentences that, where true, stand in place of the rows, which would mislead.
    draws_shares: whether the figure is of shares of parcels, which are not drawn of few. foremost: the columns that
    stand open at the head of a chapter, the others unfold; all of them without it. is_filtered: whether a reader may
    choose its rows by item type, carton, and so on. marks_overdue: whether deadlines before the day of making are
    marked. counts_left_out: whether rows of the table that are not chosen are said to be left out. A part without
    rows is not shown.
    """

    name: str
    title: str
    table: str
    columns: Sequence[str]
    choose: Chooser = this_month
    draw: Drawer | None = None
    _: KW_ONLY
    when_empty: Sequence[str] = ()
    note: Sequence[str] = ()
    unless: Sequence[str] = ()
    foremost: Sequence[str] = ()
    is_folded: bool = False
    draws_shares: bool = False
    is_filtered: bool = True
    marks_overdue: bool = False
    counts_left_out: bool = False


@dataclass(frozen=True)
class Statement(_Named):
    """A table on its side: one line per column of `table`, in named groups; one money column per chosen row."""

    name: str
    title: str
    table: str
    groups: Mapping[str, Sequence[str]]
    choose: Chooser
    _: KW_ONLY
    when_empty: Sequence[str] = ()
    note: Sequence[str] = ()
    unless: Sequence[str] = ()
    head: str = "shipped_month"
    is_folded: bool = False


@dataclass(frozen=True)
class Section(_Named):
    """One part of the page. order: its place, lower first. chapter: the one of dashboards/chapters.py it stands in.
    lead: ids of the sentences that may stand under its title; points: of those that stand as a list, one each.

    Shown when the review has at least one of its tables, and not the table in `replaced_by`, with which another
    section says the same better. Those that modules of dashboards/sections hold are found by themselves.
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
