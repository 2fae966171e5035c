"""One table within a sheet of the workbook: its title, what a row is, its rows with a filter, their sum, and what its
columns mean."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import accumulate
from typing import Any

import pandas as pd
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from dashboards import blank_cells, formats, sentences
from dashboards import workbook_file as books
from dashboards.review_tables import Records
from dashboards.sentences.letters import PRINTED
from dashboards.views import DEADLINES
from dashboards.workbook_file import Book
from dashboards.workbook_paper import Area, column_spans, printed_count
from models import columns, money
from models.fields import Quantity
from models.shop_units import Units
from models.tables import TABLES

MEANINGS = "What the columns mean"
SUM = "Sum of the rows shown"
GAP = 2
ACROSS = 110.0  # letters over which a note runs: a line of a page
MOST_ACROSS = 2  # pages beside each other
ABOVE_HEAD = 5.0 * books.LINE_HEIGHT  # points of a title and its note
# The same parcels stand in several of its rows, each for another service that they might have gone by.
OVERLAPPING = ("analysis.service_rules",)


@dataclass(frozen=True)
class Block:
    """A table to write. table: its name in the warehouse. note: what stands below its title.

    is_whole: whether these are all its rows, so that they may be added up. shown_count: the page shows so many of its
    first columns; paper does, too, where all of them would take more than two pages. made_on: where a reader must act
    by the days in it, the day before which one is overdue.
    """

    title: str
    table: str
    rows: pd.DataFrame
    note: str = ""
    is_whole: bool = True
    shown_count: int = 0
    made_on: date | None = None

    @property
    def deadlines(self) -> list[str]:
        """The columns whose days are marked where they are overdue."""
        return [str(name) for name in self.rows.columns if self.made_on and name in DEADLINES]

    @property
    def sums(self) -> list[str]:
        """The columns that are added up below the rows: the one that the rows behind them add up to, and where it is a
        kind of money of parcels, the others of them. None where rows are of the same parcels, as years are that end
        month by month."""
        contract = TABLES.get(self.table)
        made = contract.made_from if contract else None
        is_sum = made and not made.is_year and self.table not in OVERLAPPING
        if not made or not is_sum or not self.is_whole or len(self.rows) < 2:
            return []
        kinds = money.columns_of("all")
        wanted = kinds if made.sums in kinds else (made.sums,)
        return [str(name) for name in self.rows.columns[1:] if name in wanted]


def write_block(
    book: Book, sheet: Worksheet, top: int, block: Block, widths: Sequence[float], *, is_alone: bool
) -> tuple[int, list[Area]]:
    """Write the table from the row `top` on; return the first row after it and what its columns mean, and what of it
    is printed. widths: of the sheet's columns."""
    names = [str(name) for name in block.rows.columns]
    tops, own = books.headers(names, book.units), widths[: len(names)]
    heights = row_heights(block.rows, tops, own)
    across = own if len(column_spans(own)) <= MOST_ACROSS else own[: block.shown_count or None]
    printed = printed_count(heights[1:], heights[0] + ABOVE_HEAD, across, is_alone=is_alone)
    note = f"{block.note} {_printed(printed, len(block.rows), len(across), len(own))}".strip()
    book.write_text(sheet, top, 0, block.title, book.shape("part", **books.PART))
    header = top + (2 if note else 1)
    if note:
        shape = book.shape("quiet over all", **books.ACROSS, **books.QUIET)
        write_across(book, sheet, top + 1, note, own, shape)
    last = _write_rows(book, sheet, header, block, tops)
    set_heights(sheet, header, heights)
    if is_alone:
        sheet.repeat_rows(header)
    end = last if printed == len(block.rows) else header + printed
    areas = [(header if first else top, first, end, last_column) for first, last_column in column_spans(across)]
    return _write_meanings(book, sheet, last + GAP, names, tops) + GAP, areas


def _printed(printed: int, rows: int, across: int, columns: int) -> str:
    """What is said of rows and columns that are not printed, if any are not."""
    counts = {"printed_row_count": printed, "row_count": rows}
    sheet = pd.DataFrame([{**counts, "printed_column_count": across, "column_count": columns}])
    known = Records(tables={PRINTED: sheet})
    return " ".join(sentences.lines("workbook.printed workbook.printed_columns", known, Units("")))


def write_across(book: Book, sheet: Worksheet, row: int, text: str, widths: Sequence[float], shape: Format) -> None:
    """A text over the table's first columns, in as many lines as it takes: beyond the printed area it would be
    cut, and the height of joined cells is not found by the programs that show them."""
    ends = [end for end in accumulate(widths) if end <= ACROSS]
    if len(ends) > 1:
        sheet.merge_range(row, 0, row, len(ends) - 1, "", shape)
    book.write_text(sheet, row, 0, text, shape)
    sheet.set_row(row, books.LINE_HEIGHT * books.line_count(text, (ends or [widths[0]])[-1] - 2))


def _write_rows(book: Book, sheet: Worksheet, header: int, block: Block, tops: Sequence[str]) -> int:
    """Write headers, rows and their sum; return the last row."""
    names = [str(name) for name in block.rows.columns]
    last = header + len(block.rows) + bool(block.sums)
    stated: list[dict[str, Any]] = [
        {"header": head, "header_format": book.header(name)} for head, name in zip(tops, names, strict=True)
    ]
    if block.sums:
        stated[0]["total_string"] = SUM
    for each in block.sums:
        stated[names.index(each)]["total_function"] = "sum"
    name = block.table.replace(".", "_")
    options = {"name": name, "columns": stated, "total_row": bool(block.sums), "style": "Table Style Light 1"}
    sheet.add_table(header, 0, last, len(tops) - 1, options)
    for each in block.sums:
        place = names.index(each)
        _write_sum(book, sheet, (last, place), f"{name}[{tops[place]}]", block.rows[each])
    is_wide = blank_cells.is_wide(len(names))
    for place, name in enumerate(names):
        book.write_column(sheet, header, place, block.rows.iloc[:, place], name, is_wide=is_wide)
    mark_overdue(book, sheet, header, block)
    return last


def mark_overdue(book: Book, sheet: Worksheet, header: int, block: Block) -> None:
    """Say which of the table's deadlines passed before it was made. header: the row above its first."""
    for name in block.deadlines:
        place = list(block.rows.columns).index(name)
        book.mark_overdue(sheet, header, place, block.rows[name], name, block.made_on or date.max)


def row_heights(rows: pd.DataFrame, tops: Sequence[str], widths: Sequence[float]) -> list[float]:
    """Points that the head and each row need for their wrapped texts, so that no program cuts one."""
    head = max(map(books.line_count, tops, (wide - books.FILTER_WIDE for wide in widths)))
    lines = [1] * len(rows)
    for place, name in enumerate(rows.columns):
        texts = rows.iloc[:, place]
        if columns.quantity(str(name)) is Quantity.TEXT and texts.astype(str).str.len().max() > widths[place] - 2:
            room = widths[place] - 2
            lines = [max(most, books.line_count(str(text), room)) for most, text in zip(lines, texts, strict=True)]
    return [books.LINE_HEIGHT * float(each) for each in (head, *lines)]


def set_heights(sheet: Worksheet, header: int, heights: Sequence[float]) -> None:
    """Make the head and the rows below it so high; rows of one line are so by themselves."""
    for row, height in enumerate(heights, start=header):
        if height > books.LINE_HEIGHT:
            sheet.set_row(row, height)


def _write_sum(book: Book, sheet: Worksheet, cell: tuple[int, int], span: str, added: "pd.Series[Any]") -> None:
    """The sum as a formula over the rows that a filter leaves, with its value for programs that reckon nothing.

    span: the column with the name of its table, which the library leaves out; not every program finds the table then.
    """
    name = str(added.name)
    value = formats.WRITINGS[columns.display(name)].cell(int(added.sum()), book.units)
    shown = books.number_format(name, book.units)
    sheet.write_formula(*cell, f"=SUBTOTAL(109,{span})", book.shape(shown, num_format=shown), float(value))


def _write_meanings(book: Book, sheet: Worksheet, top: int, names: Sequence[str], tops: Sequence[str]) -> int:
    """A line for each column; a meaning runs on over the empty cells beside it."""
    book.write_text(sheet, top, 0, MEANINGS, book.shape("quiet", **books.QUIET))
    plain = book.shape("line", valign="top")
    for at, (name, head) in enumerate(zip(names, tops, strict=True), start=top + 1):
        book.write_text(sheet, at, 0, head)
        book.write_text(sheet, at, 1, columns.meaning(name, book.units), plain)
    return top + len(names) + 1


def set_widths(sheet: Worksheet, blocks: Sequence[Block], book: Book) -> list[float]:
    """Make each column as wide as the widest of the tables in it needs; the first has the headers of all below it."""
    found: dict[int, float] = {}
    for block in blocks:
        names = [str(name) for name in block.rows.columns]
        tops = books.headers(names, book.units)
        for place, (name, head) in enumerate(zip(names, tops, strict=True)):
            wide = books.width(head, block.rows.iloc[:, place], name, book.units)
            wide = max(wide, books.OVERDUE_WIDE) if name in block.deadlines else wide
            found[place] = max(found.get(place, 0.0), wide)
        found[0] = max([found[0], 24.0, *(min(len(head) + 2.0, 40.0) for head in tops)])
    for place, wide in found.items():
        sheet.set_column(place, place, wide)
    return [found[place] for place in sorted(found)]
