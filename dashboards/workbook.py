"""The review's tables as a workbook: one typed sheet per table, and a sheet that says what each column means."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

import pandas as pd
from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from dashboards import few, formats, sentences
from dashboards.parts import Records, Review
from dashboards.sentences.letters import SHEETS
from models import columns
from models.shop_units import Units
from models.tables import TABLES
from models.visible import FORMULA_STARTS

DEFINITIONS = "Definitions"
DEFINITION_HEADERS = ("Sheet", "Header", "Meaning", "Unit", "Table", "Column", "One row is")
LONGEST_NAME = 31  # of a sheet
LONGEST_TEXT = 32_767  # of a cell
MOST_ROWS = 5_000  # below the header: more takes minutes to write, and nobody reads it
# Control characters that the format's XML cannot hold.
UNWRITABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


@dataclass(frozen=True)
class _Book:
    """The workbook that is written, and the formats of its cells, each stated once."""

    file: Workbook
    formats: dict[str, Format] = field(default_factory=dict)

    def shape(self, name: str, **properties: Any) -> Format:
        """The format of that name, as its properties say."""
        if name not in self.formats:
            self.formats[name] = self.file.add_format(properties)
        return self.formats[name]

    def write_text(self, sheet: Worksheet, row: int, column: int, text: str, shape: Format | None = None) -> None:
        """Write text as text, whatever it begins with: a cell never becomes a formula or a link."""
        kept = UNWRITABLE.sub("", text)[:LONGEST_TEXT]
        if kept.startswith(FORMULA_STARTS) and shape is None:
            shape = self.shape("quoted", quote_prefix=True)
        sheet.write_string(row, column, kept, shape)


def workbook(review: Review) -> bytes:
    """The file's bytes (XLSX). Amounts stand in the major unit; null cells are empty; no cell is a formula.

    A table without rows has no sheet, a column without a known cell no place in one.
    """
    stream = io.BytesIO()
    with Workbook(stream, {"in_memory": True}) as file:
        book = _Book(file)
        title = formats.plain(f"{review.shop_name}: shipping in {formats.month(review.month)}")
        file.set_properties({"title": title, "created": review.made_at})
        names = sheet_names([name for name in review.tables if len(review.tables[name])])
        sheets = [(table, file.add_worksheet(name)) for table, name in names.items()]
        definitions = [row for table, sheet in sheets for row in _write_table(book, sheet, table, review)]
        _write_definitions(book, file.add_worksheet(DEFINITIONS), definitions)
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


def _write_table(book: _Book, sheet: Worksheet, table: str, review: Review) -> list[tuple[str, ...]]:
    """Write the sheet; return its rows of the definitions."""
    whole = few.without_few(review.table(table)).dropna(axis="columns", how="all")
    names = [str(name) for name in whole.columns]
    units = review.units
    tops = headers(names, units)
    _write_headers(book, sheet, tops)
    kept = _kept(whole, review)
    for place, name in enumerate(names):
        _write_column(book, sheet, place, kept.iloc[:, place], name, units)
    if names:
        sheet.autofilter(0, 0, len(kept), len(names) - 1)
    grain = _grain(table, len(whole))
    return [
        (sheet.get_name(), top, columns.meaning(name, units), columns.unit(name, units), table, units.name(name), grain)
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


def _write_headers(book: _Book, sheet: Worksheet, tops: Sequence[str]) -> None:
    sheet.freeze_panes(1, 1)
    shape = book.shape("header", bold=True, text_wrap=True, valign="bottom")
    for place, top in enumerate(tops):
        book.write_text(sheet, 0, place, top, shape)
        sheet.set_column(place, place, min(max(len(top) * 0.8, 12), 40))


def _write_column(book: _Book, sheet: Worksheet, place: int, values: pd.Series[Any], name: str, units: Units) -> None:
    """Write a column's cells, which share one format."""
    typed = formats.WRITINGS[columns.display(name)].cell
    shown = number_format(name, units)
    shape = book.shape(shown, num_format=shown)
    for row, (value, is_unknown) in enumerate(zip(values, values.isna(), strict=True), start=1):
        if is_unknown:
            continue
        typed_value = typed(value, units)
        if isinstance(typed_value, str):
            book.write_text(sheet, row, place, typed_value)
        else:
            _write_value(sheet, row, place, typed_value, shape)


def _write_value(
    sheet: Worksheet, row: int, column: int, value: bool | int | float | Decimal | date, shape: Format
) -> None:
    """Write a value as its type says; the library's own choice would look into texts."""
    if isinstance(value, bool):
        sheet.write_boolean(row, column, value, shape)
    elif isinstance(value, date):
        sheet.write_datetime(row, column, value, shape)
    else:
        sheet.write_number(row, column, value, shape)


def number_format(column: str, units: Units) -> str:
    """How a cell of the column is shown."""
    return formats.WRITINGS[columns.display(column)].sheet(units)


def _write_definitions(book: _Book, sheet: Worksheet, definitions: Sequence[tuple[str, ...]]) -> None:
    _write_headers(book, sheet, DEFINITION_HEADERS)
    for at, row in enumerate(definitions, start=1):
        for place, text in enumerate(row):
            book.write_text(sheet, at, place, text)
    for place, width in enumerate((22, 26, 60, 16, 28, 28, 60)):
        sheet.set_column(place, place, width)
