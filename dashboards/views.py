"""From panels and statements to what the templates show: every cell with its text and its place of origin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import singledispatch
from typing import Any

import pandas as pd

from dashboards import formats
from dashboards.parts import Cell, Figure, Frame, Panel, Review, Section, Sentence, Statement
from models import columns

FILTERS = ("item_type", "service", "carton_code", "packing_method", "carrier")


@dataclass(frozen=True)
class Shown:
    """A cell's text with its origin and look."""

    text: str
    table: str
    row: int
    column: str
    is_figure: bool
    is_unknown: bool
    is_loss: bool

    @property
    def look(self) -> str:
        """The classes of the style sheet that apply."""
        looks = {"figure": self.is_figure, "loss": self.is_loss, "unknown": self.is_unknown}
        return " ".join(name for name, applies in looks.items() if applies)


@dataclass(frozen=True)
class Line:
    """A row of a shown table.

    head: text of the row header where it is no cell. sorted_by: filter column -> raw value.
    """

    head: str
    cells: Sequence[Shown]
    row: int | None = None
    sorted_by: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Group:
    """Lines under one heading; no heading where it is empty."""

    title: str
    lines: Sequence[Line]


@dataclass(frozen=True)
class Header:
    """A column's header."""

    text: str
    is_figure: bool
    cell: Shown | None = None


@dataclass(frozen=True)
class PartView:
    """A panel or statement as shown."""

    name: str
    title: str
    headers: Sequence[Header] = ()
    groups: Sequence[Group] = ()
    figure: Figure | None = None
    when_empty: str = ""
    note: str = ""
    is_folded: bool = False
    filters: Sequence[str] = ()
    columns: Sequence[str] = ()

    @property
    def lines(self) -> list[Line]:
        """All lines of all groups."""
        return [line for group in self.groups for line in group.lines]


@dataclass(frozen=True)
class SectionView:
    """A section as shown."""

    name: str
    title: str
    lead: Sequence[str | Shown]
    parts: Sequence[PartView]
    is_headline: bool


def section_view(section: Section, review: Review) -> SectionView:
    """The section with all its parts, from the review's tables."""
    lead = spoken(section.lead(review), review)
    parts = [view(part, review) for part in section.parts if review.has(part.table)]
    return SectionView(section.name, section.title, lead, parts, section.is_headline)


def spoken(sentence: Sentence, review: Review) -> list[str | Shown]:
    """The sentence with its cells written out."""
    return [part if isinstance(part, str) else _as(part, part.spoken(review.units), review) for part in sentence]


def shown(cell: Cell, review: Review) -> Shown:
    """The cell written out as in a table."""
    return _as(cell, cell.text(review.units), review)


def _as(cell: Cell, text: str, review: Review) -> Shown:
    return Shown(
        text=text,
        table=cell.table,
        row=cell.row,
        column=review.units.name(cell.column),
        is_figure=columns.is_figure(cell.column),
        is_unknown=formats.is_unknown(cell.value),
        is_loss=cell.is_loss,
    )


@singledispatch
def view(part: Any, review: Review) -> PartView:
    """What the template shows for a part."""
    raise TypeError(f"no view for {type(part).__name__}")


@view.register
def _(part: Panel, review: Review) -> PartView:
    rows = _chosen(part, review)
    if rows.empty:
        return PartView(part.name, part.title, when_empty=part.when_empty)
    filters = [name for name in FILTERS if name in rows.columns]
    frame = Frame(part.table, review.units, review.month)
    return PartView(
        name=part.name,
        title=part.title,
        headers=[Header(columns.head(name, review.units), columns.is_figure(name)) for name in part.columns],
        groups=[Group("", [_line(part, rows, at, filters, review) for at in range(len(rows))])],
        figure=part.draw(rows, frame) if part.draw else None,
        note=part.note,
        is_folded=part.is_folded,
        filters=filters,
        columns=part.columns,
    )


def _chosen(part: Panel | Statement, review: Review) -> pd.DataFrame:
    rows = review.table(part.table)
    return rows if rows.empty else part.choose(review, rows)


def _line(part: Panel, rows: pd.DataFrame, at: int, filters: Sequence[str], review: Review) -> Line:
    row, cells = int(rows.index[at]), rows.iloc[at]
    return Line(
        head="",
        cells=[shown(Cell(part.table, row, name, cells[name]), review) for name in part.columns],
        row=row,
        sorted_by={name: formats.UNKNOWN if formats.is_unknown(cells[name]) else cells[name] for name in filters},
    )


@view.register
def _(part: Statement, review: Review) -> PartView:
    rows = _chosen(part, review)
    if rows.empty:
        return PartView(part.name, part.title, when_empty=part.when_empty)
    heads = [Header("", True, shown(cell, review)) for cell in _across(part.table, rows, part.head)]
    return PartView(
        name=part.name,
        title=part.title,
        headers=[Header("", False), *heads],
        groups=[Group(title, _statement_lines(part, rows, names, review)) for title, names in part.groups.items()],
        note=part.note,
        is_folded=part.is_folded,
        columns=[name for names in part.groups.values() for name in names],
    )


def _statement_lines(part: Statement, rows: pd.DataFrame, names: Sequence[str], review: Review) -> list[Line]:
    return [
        Line(columns.head(name, review.units), [shown(cell, review) for cell in _across(part.table, rows, name)])
        for name in names
    ]


def _across(table: str, rows: pd.DataFrame, column: str) -> list[Cell]:
    return [Cell(table, int(row), column, value) for row, value in rows[column].items()]
