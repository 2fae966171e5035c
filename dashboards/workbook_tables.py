"""One table within a sheet of the workbook: its title, what a row is, its rows with a filter, their sum, and what its
columns mean."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd
from xlsxwriter.worksheet import Worksheet

from dashboards import book as books
from dashboards import filled, formats
from dashboards.book import Book
from models import columns
from models.fields import Quantity
from models.tables import TABLES

MEANINGS = "What the columns mean"
SUM = "Sum of the rows shown"
GAP = 2


@dataclass(frozen=True)
class Block:
    """A table to write. table: its name in the warehouse. note: what stands below its title.

    is_whole: whether these are all its rows, so that they may be added up.
    """

    title: str
    table: str
    rows: pd.DataFrame
    note: str = ""
    is_whole: bool = True

    @property
    def sums(self) -> str:
        """The column that is added up below the rows: the one that the rows behind them add up to; else empty."""
        contract = TABLES.get(self.table)
        name = contract.made_from.sums if contract and contract.made_from else ""
        return name if self.is_whole and name in self.rows.columns[1:] and len(self.rows) > 1 else ""


def write_block(book: Book, sheet: Worksheet, top: int, block: Block, widths: Sequence[float]) -> int:
    """Write the table from the row `top` on; return the first row after it and what its columns mean."""
    names = [str(name) for name in block.rows.columns]
    tops = books.headers(names, book.units)
    book.write_text(sheet, top, 0, block.title, book.shape("part", **books.PART))
    if block.note:
        book.write_text(sheet, top + 1, 0, block.note, book.shape("quiet", **books.QUIET))
    header = top + (2 if block.note else 1)
    last = _write_rows(book, sheet, header, block, tops)
    _set_heights(sheet, header, block, tops, widths)
    return _write_meanings(book, sheet, last + GAP, names, tops) + GAP


def _write_rows(book: Book, sheet: Worksheet, header: int, block: Block, tops: Sequence[str]) -> int:
    """Write headers, rows and their sum; return the last row."""
    names = [str(name) for name in block.rows.columns]
    last = header + len(block.rows) + bool(block.sums)
    stated: list[dict[str, Any]] = [
        {"header": head, "header_format": book.header(name)} for head, name in zip(tops, names, strict=True)
    ]
    if block.sums:
        stated[0]["total_string"] = SUM
        stated[names.index(block.sums)] |= _added(book, block)
    options = {"columns": stated, "total_row": bool(block.sums), "style": "Table Style Light 1"}
    sheet.add_table(header, 0, last, len(tops) - 1, options)
    is_wide = filled.is_wide(len(names))
    for place, name in enumerate(names):
        book.write_column(sheet, header, place, block.rows.iloc[:, place], name, is_wide=is_wide)
    return last


def _set_heights(sheet: Worksheet, header: int, block: Block, tops: Sequence[str], widths: Sequence[float]) -> None:
    """Make rows as high as their wrapped texts need, so that no program cuts one."""
    sheet.set_row(header, books.LINE_HEIGHT * max(map(books.line_count, tops, (wide - 4 for wide in widths))))
    texts = {
        place: block.rows.iloc[:, place]
        for place, name in enumerate(block.rows.columns)
        if columns.quantity(str(name)) is Quantity.TEXT and block.rows.iloc[:, place].astype(str).str.len().max() > 20
    }
    for row in range(len(block.rows) if texts else 0):
        most = max(books.line_count(str(each.iloc[row]), widths[place] - 2) for place, each in texts.items())
        if most > 1:
            sheet.set_row(header + 1 + row, books.LINE_HEIGHT * most)


def _added(book: Book, block: Block) -> Mapping[str, Any]:
    """The sum as a formula over the rows that a filter leaves, with its value for programs that reckon nothing."""
    value = formats.WRITINGS[columns.display(block.sums)].cell(int(block.rows[block.sums].sum()), book.units)
    shown = books.number_format(block.sums, book.units)
    return {"total_function": "sum", "total_value": float(value), "format": book.shape(shown, num_format=shown)}


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
            found[place] = max(found.get(place, 0.0), books.width(head, block.rows.iloc[:, place], name))
        found[0] = max([found[0], 24.0, *(min(len(head) + 2.0, 40.0) for head in tops)])
    for place, wide in found.items():
        sheet.set_column(place, place, wide)
    return [found[place] for place in sorted(found)]
