"""From panels and statements to what the templates show: every cell with its text and its place of origin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pandas as pd

from dashboards import blank_cells, formats, sentences, small_shares
from dashboards.panels import Frame, Panel, Section, Statement
from dashboards.pictures import Picture
from dashboards.review_tables import Cell, Review, Sentence
from dashboards.template_parts import Group, Header, Line, PartView, SectionView, Shown
from models import columns
from models.fields import Quantity

FILTERS = ("item_type", "service", "carton_code", "packing_method", "carrier")
# More rows than these are read in the workbook; months and weeks are one story.
# Columns whose day may have passed.
DEADLINES, OVERDUE = ("due_on", "claim_due_on", "last_dispute_on", "step_due_on"), "overdue"
MOST_ROWS, MOST_DAYS = 25, 80


def section_view(section: Section, review: Review) -> SectionView:
    """The section with its parts that have rows, from the review's tables."""
    known = [part for part in section.parts if review.has(part.table)]
    parts = [shown_part for part in known if (shown_part := view(part, review)).groups]
    empty = [id for part in known if part.name not in {each.name for each in parts} for id in why_empty(part, review)]
    lead = [id for id in section.lead if parts or not sentences.entries()[id].is_definition]
    rest = [id for id in dict.fromkeys(empty) if id not in lead]
    points = [spoken(sentence, review) for sentence in sentences.each_stated(section.points, review)]
    leading, others = (spoken(sentences.tell(ids, review), review) for ids in (lead, rest))
    return SectionView(section.name, section.title, leading, parts, section.is_headline, others, points)


def why_empty(part: Panel | Statement, review: Review) -> Sequence[str]:
    """Ids of what the records say of missing rows."""
    return part.unless if sentences.is_proven(part.unless, review) else part.when_empty


def spoken(sentence: Sentence, review: Review) -> list[str | Shown]:
    """The sentence with its cells written out."""
    return [part if isinstance(part, str) else rounded(part, review) for part in sentence]


def shown(cell: Cell, review: Review) -> Shown:
    """The cell written out as in a table."""
    return _as(cell, cell.text(review.units), review)


def rounded(cell: Cell, review: Review) -> Shown:
    """The cell written out as in prose."""
    return _as(cell, cell.rounded(review.units), review)


def _as(cell: Cell, text: str, review: Review) -> Shown:
    return Shown(
        text=text,
        table=cell.table,
        row=cell.row,
        column=review.units.name(cell.column),
        is_figure=columns.is_figure(cell.column),
        is_unknown=formats.is_unknown(cell.value),
        is_loss=cell.is_loss,
        is_nothing=blank_cells.is_nothing(cell),
        is_none=blank_cells.is_none(cell.column, cell.value),
    )


def view(part: Panel | Statement, review: Review) -> PartView:
    """What the template shows for a part; without lines where it has no rows."""
    return _panel(part, review) if isinstance(part, Panel) else _statement(part, review)


def _panel(part: Panel, review: Review) -> PartView:
    rows = _chosen(part, review)
    if rows.empty:
        return PartView(part.name, part.title)
    filters = _filters(part, rows)
    is_series = columns.quantity(part.columns[0]) is Quantity.DATE
    written = rows.tail(MOST_DAYS) if is_series else rows.head(MOST_ROWS)
    lines = [_line(part, written, at, review) for at in range(len(written))]
    kept = _kept(part.columns, lines)
    return PartView(
        name=part.name,
        title=part.title,
        headers=[_header(part, part.columns[at], review) for at in kept],
        groups=[Group("", _with_dashes([replace(line, cells=[line.cells[at] for at in kept]) for line in lines]))],
        picture=_drawn(part, rows, review),
        note=spoken(sentences.tell(part.note, review), review),
        is_folded=part.is_folded,
        filters=filters,
        columns=[part.columns[at] for at in kept],
        table=part.table,
        left_out=len(review.table(part.table) if part.counts_left_out else rows) - len(written),
        is_series=is_series,
    )


def _with_dashes(lines: Sequence[Line]) -> list[Line]:
    """The lines, those of a wide table with a dash for each amount and number of none."""
    if not lines or not blank_cells.is_wide(len(lines[0].cells)):
        return list(lines)
    return [
        replace(line, cells=[replace(cell, text=blank_cells.NONE) if cell.is_none else cell for cell in line.cells])
        for line in lines
    ]


def _header(part: Panel, column: str, review: Review) -> Header:
    is_foremost = not part.foremost or column in part.foremost
    return Header(columns.head(column, review.units), columns.is_figure(column), is_foremost=is_foremost)


def picture(part: Panel, review: Review) -> Picture | None:
    """The panel's picture; none where it would tell no more than one number does."""
    return _drawn(part, _chosen(part, review), review)


def _drawn(part: Panel, rows: pd.DataFrame, review: Review) -> Picture | None:
    drawn = small_shares.enough(rows) if part.draws_shares else rows
    if part.draw is None or drawn.empty:
        return None
    made = part.draw(drawn, Frame(part.table, review.units, review.month))
    by = {int(drawn.index[at]): _sorted_by(part, drawn.iloc[at]) for at in range(len(drawn))}
    return replace(made, name=part.name, title=part.title, filters=by) if made.says_something else None


def _filters(part: Panel, cells: pd.DataFrame | pd.Series[Any]) -> list[str]:
    """The columns by whose values a reader may choose among the rows."""
    known = cells.columns if isinstance(cells, pd.DataFrame) else cells.index
    return [name for name in FILTERS if part.is_filtered and name in known]


def _sorted_by(part: Panel, cells: pd.Series[Any]) -> dict[str, Any]:
    """The values by which a reader may choose the row."""
    names = _filters(part, cells)
    return {name: formats.NOT_KNOWN if formats.is_unknown(cells[name]) else cells[name] for name in names}


def _kept(names: Sequence[str], lines: Sequence[Line]) -> list[int]:
    """Places of the columns that say something: the first, and each with a known cell, unless all are of no money."""
    columns_of_cells = list(zip(*(line.cells for line in lines), strict=True))
    return [at for at, cells in enumerate(columns_of_cells) if not at or blank_cells.says_something(names[at], cells)]


def _chosen(part: Panel | Statement, review: Review) -> pd.DataFrame:
    rows = review.table(part.table)
    return rows.iloc[:0] if rows.empty or sentences.is_proven(part.unless, review) else part.choose(review, rows)


def _line(part: Panel, rows: pd.DataFrame, at: int, review: Review) -> Line:
    row, cells = int(rows.index[at]), rows.iloc[at]
    return Line(
        head="",
        cells=[_dated(part, cells[name], _cell(part.table, row, name, cells, review), review) for name in part.columns],
        row=row,
        sorted_by=_sorted_by(part, cells),
    )


def _dated(part: Panel, value: Any, as_shown: Shown, review: Review) -> Shown:
    """The cell, a deadline that has passed with a word that says so."""
    if not part.marks_overdue or as_shown.column not in DEADLINES or formats.is_unknown(value):
        return as_shown
    is_over = pd.Timestamp(value) < pd.Timestamp(review.made_at.date())
    return replace(as_shown, text=f"{as_shown.text}, {OVERDUE}") if is_over else as_shown


def _cell(table: str, row: int, name: str, cells: pd.Series[Any], review: Review) -> Shown:
    """The cell as shown; a share of few parcels as counts."""
    as_shown = shown(Cell(table, row, name, cells[name]), review)
    if as_shown.is_unknown and blank_cells.cannot_be(table, name) and not blank_cells.is_lacking(name, cells):
        return replace(as_shown, text=blank_cells.NOT_APPLICABLE)
    if as_shown.is_unknown or not small_shares.is_of_few(name, cells):
        return as_shown
    counted = small_shares.counts(name, cells)
    return replace(as_shown, text=counted, is_unknown=counted == small_shares.TOO_FEW)


def _statement(part: Statement, review: Review) -> PartView:
    rows = _chosen(part, review)
    if rows.empty:
        return PartView(part.name, part.title)
    groups = [
        Group(title, _with_dashes(_statement_lines(part, rows, names, review))) for title, names in part.groups.items()
    ]
    heads = [Header("", True, shown(cell, review)) for cell in _across(part.table, rows, part.head)]
    return PartView(
        name=part.name,
        title=part.title,
        headers=[Header("", False), *heads],
        groups=[group for group in groups if group.lines],
        note=spoken(sentences.tell(part.note, review), review),
        is_folded=part.is_folded,
        columns=[name for names in part.groups.values() for name in names],
        table=part.table,
    )


def _statement_lines(part: Statement, rows: pd.DataFrame, names: Sequence[str], review: Review) -> list[Line]:
    across = {name: [_shown_across(cell, review) for cell in _across(part.table, rows, name)] for name in names}
    kept = {name: cells for name, cells in across.items() if blank_cells.says_something(name, cells)}
    return [Line(columns.head(name, review.units), cells) for name, cells in kept.items()]


def _across(table: str, rows: pd.DataFrame, column: str) -> list[Cell]:
    return [Cell(table, int(row), column, value) for row, value in zip(rows.index, rows[column], strict=True)]


def _shown_across(cell: Cell, review: Review) -> Shown:
    as_shown = shown(cell, review)
    is_none = as_shown.is_unknown and blank_cells.cannot_be(cell.table, cell.column)
    return replace(as_shown, text=blank_cells.NOT_APPLICABLE) if is_none else as_shown
