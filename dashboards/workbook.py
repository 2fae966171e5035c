"""The review's tables as a workbook: one typed sheet per table, and a sheet that says what each column means."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import Any

import pandas as pd
from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE, Cell
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from dashboards import few, formats, sentences
from dashboards.parts import Records, Review
from dashboards.sentences.letters import SHEETS
from models import columns
from models.shop_units import Units
from models.tables import TABLES

DEFINITIONS = "Definitions"
DEFINITION_HEADERS = ("Sheet", "Header", "Meaning", "Unit", "Table", "Column", "One row is")
LONGEST_NAME = 31  # of a sheet
LONGEST_TEXT = 32_767  # of a cell
MOST_ROWS = 5_000  # below the header: more takes minutes to write, and nobody reads it
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def workbook(review: Review) -> bytes:
    """The file's bytes (XLSX). Amounts stand in the major unit, exact; null cells are empty; no cell is a formula.

    A table without rows has no sheet, a column without a known cell no place in one.
    """
    book = Workbook()
    book.properties.title = formats.plain(f"{review.shop_name}: shipping in {formats.month(review.month)}")
    book.properties.created = book.properties.modified = review.made_at
    book.remove(book.active)
    names = sheet_names([name for name in review.tables if len(review.tables[name])])
    definitions = [row for table, name in names.items() for row in _write_table(book.create_sheet(name), table, review)]
    _write_definitions(book.create_sheet(DEFINITIONS), definitions)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def sheet_names(tables: Sequence[str]) -> dict[str, str]:
    """A sheet's name per table: its own name in words, cut to what a workbook allows, each one different."""
    taken = {DEFINITIONS.lower()}
    names = {}
    for table in tables:
        words = "".join(" " if mark in "[]:*?/\\_'" else mark for mark in table.split(".")[-1]).strip().capitalize()
        name = words[:LONGEST_NAME] or "Table"
        for again in range(2, len(tables) + 3):
            if name.lower() not in taken:
                break
            name = f"{words[: LONGEST_NAME - 4]} {again}"
        taken.add(name.lower())
        names[table] = name
    return names


def headers(table_columns: Sequence[str], units: Units) -> list[str]:
    """A header per column, with its unit where it has one; the column's own name where two would be equal."""
    found: list[str] = []
    for column in table_columns:
        unit = columns.unsaid_unit(column, units)
        header = f"{columns.label(column)} ({unit})" if unit else columns.label(column)
        found.append(units.name(column) if header in found else header)
    return found


def _write_table(sheet: Worksheet, table: str, review: Review) -> list[tuple[str, ...]]:
    """Write the sheet; return its rows of the definitions."""
    whole = few.without_few(review.table(table)).dropna(axis="columns", how="all")
    names = [str(name) for name in whole.columns]
    units = review.units
    tops = headers(names, units)
    _write_headers(sheet, tops)
    kept = _kept(whole, review)
    for place, name in enumerate(names, start=1):
        _write_column(sheet, place, kept.iloc[:, place - 1], name, units)
    if names:
        sheet.auto_filter.ref = f"A1:{get_column_letter(len(names))}{sheet.max_row}"
    grain = _grain(table, len(whole))
    return [
        (sheet.title, top, columns.meaning(name, units), columns.unit(name, units), table, units.name(name), grain)
        for top, name in zip(tops, names, strict=True)
    ]


def _kept(whole: pd.DataFrame, review: Review) -> pd.DataFrame:
    """The rows that a sheet has room for, as they stand; of too many, those of the month reviewed and before it."""
    if len(whole) <= MOST_ROWS or "shipped_month" not in whole.columns:
        return whole.head(MOST_ROWS)
    is_later = whole["shipped_month"] > pd.Timestamp(review.month)
    ranked = whole.assign(is_later=is_later).sort_values(
        ["is_later", "shipped_month"], ascending=[True, False], kind="stable"
    )
    return whole.loc[ranked.index[:MOST_ROWS].sort_values()]


def _grain(table: str, rows: int) -> str:
    grain = TABLES[table].grain if table in TABLES else ""
    if rows <= MOST_ROWS:
        return grain
    sheet = pd.DataFrame({"row_count": [rows], "shown_row_count": [MOST_ROWS], "table_name": [table]})
    return " ".join([grain, *sentences.lines(["workbook.cut"], Records(tables={SHEETS: sheet}), Units(""))]).strip()


def _write_headers(sheet: Worksheet, tops: Sequence[str]) -> None:
    sheet.freeze_panes = "B2"
    for place, top in enumerate(tops, start=1):
        cell = sheet.cell(1, place)
        write_text(cell, top)
        cell.font = Font(bold=True)
        cell.alignment = Alignment(wrap_text=True, vertical="bottom")
        sheet.column_dimensions[get_column_letter(place)].width = min(max(len(top) * 0.8, 12), 40)


def _write_column(sheet: Worksheet, place: int, values: Iterable[Any], name: str, units: Units) -> None:
    """Write a column's cells; their format is stated once and shared, which takes half of the time."""
    typed = formats.WRITINGS[columns.display(name)].cell
    style = None
    for at, value in enumerate(values, start=2):
        if formats.is_unknown(value):
            continue
        cell = sheet.cell(at, place)
        typed_value = typed(value, units)
        if isinstance(typed_value, str):
            write_text(cell, typed_value)
            continue
        cell.value = typed_value
        if style is None:
            cell.number_format = number_format(name, units)
            style = cell._style
        cell._style = style


def number_format(column: str, units: Units) -> str:
    """How a cell of the column is shown."""
    return formats.WRITINGS[columns.display(column)].sheet(units)


def write_text(cell: Cell, text: str) -> None:
    """Write text as text, whatever it begins with: a cell never becomes a formula."""
    kept = ILLEGAL_CHARACTERS_RE.sub("", text)[:LONGEST_TEXT]
    cell.value = kept
    cell.data_type = "s"
    if kept.startswith(FORMULA_STARTS):
        cell.quotePrefix = True


def _write_definitions(sheet: Worksheet, definitions: Sequence[tuple[str, ...]]) -> None:
    _write_headers(sheet, DEFINITION_HEADERS)
    for at, row in enumerate(definitions, start=2):
        for place, text in enumerate(row, start=1):
            write_text(sheet.cell(at, place), text)
    for letter, width in zip("ABCDEFG", (22, 26, 60, 16, 28, 28, 60), strict=True):
        sheet.column_dimensions[letter].width = width
