"""A workbook as it is written: formats stated once, text that stays text, values typed as their columns are."""

from __future__ import annotations

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

from dashboards import blank_cells, formats
from dashboards.views import OVERDUE
from models import columns
from models.fields import Quantity
from models.shop_units import Units
from models.visible import FORMULA_STARTS

LONGEST_TEXT = 32_767  # of a cell
# Control characters that the format's XML cannot hold.
UNWRITABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
TITLE = {"bold": True, "font_size": 14}
PART = {"bold": True, "font_size": 12}
HEADER = {"bold": True, "text_wrap": True, "valign": "bottom", "bottom": 1}
TEXT = {"text_wrap": True, "align": "left", "valign": "top", "indent": 1}
INDENTS = {"left": 1, "right": 0}  # so that a figure and the text beside it stand apart
LINE_HEIGHT = 15  # points
FILTER_WIDE, NARROWEST, OVERDUE_WIDE = 4.0, 9.0, 21.0  # letters: of a filter's mark, a column, and a day that passed
QUIET = {"font_color": "#595959"}
ACROSS = {"text_wrap": True, "valign": "top"}
UNSET_WIDE = 8.43  # letters of a column whose width nobody states
LINK = {"underline": 1, "valign": "top", "text_wrap": True}


@dataclass(frozen=True)
class Book:
    """The workbook that is written, and the formats of its cells, each stated once."""

    file: Workbook
    units: Units
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
            shape = self.shape("quoted", quote_prefix=True, **TEXT)
        sheet.write_string(row, column, kept, shape or self.shape("text", **TEXT))

    def header(self, column: str) -> Format:
        """The format of a column's header: it stands on the side of its cells."""
        side = "right" if columns.is_figure(column) else "left"
        return self.shape(f"header {side}", **HEADER, align=side, indent=INDENTS[side])

    def write_column(
        self, sheet: Worksheet, top: int, place: int, values: pd.Series[Any], name: str, *, is_wide: bool = False
    ) -> None:
        """Write a column's known cells below the row `top`; they share one format."""
        typed = formats.WRITINGS[columns.display(name)].cell
        shown = number_format(name, self.units, is_wide=is_wide)
        side = "right" if columns.is_figure(name) else "left"
        shape = self.shape(f"{side} {shown}", num_format=shown, valign="top", align=side, indent=INDENTS[side])
        for row, (value, is_unknown) in enumerate(zip(values, values.isna(), strict=True), start=top + 1):
            if is_unknown:
                continue
            typed_value = typed(value, self.units)
            if isinstance(typed_value, str):
                self.write_text(sheet, row, place, typed_value)
            else:
                _write_value(sheet, row, place, typed_value, shape)

    def mark_overdue(
        self, sheet: Worksheet, top: int, place: int, days: pd.Series[Any], name: str, before: date
    ) -> None:
        """Write the days of a column before that day once more: still days, with a word that says that they passed."""
        shown = f'{number_format(name, self.units)}", {OVERDUE}"'
        shape = self.shape(f"left {shown}", num_format=shown, valign="top", align="left", indent=INDENTS["left"])
        for row, day in enumerate(pd.to_datetime(days), start=top + 1):
            if day < pd.Timestamp(before):
                sheet.write_datetime(row, place, day, shape)


def _write_value(sheet: Worksheet, row: int, column: int, value: int | float | Decimal | date, shape: Format) -> None:
    """Write a value as its type says; the library's own choice would look into texts."""
    if isinstance(value, date):
        sheet.write_datetime(row, column, value, shape)
    else:
        sheet.write_number(row, column, value, shape)


def number_format(column: str, units: Units, *, is_wide: bool = False) -> str:
    """How a cell of the column is shown; in a wide table an amount or a number of none as a dash, as on the page."""
    shown = formats.WRITINGS[columns.display(column)].sheet(units)
    if not is_wide or not blank_cells.is_none(column, 0):
        return shown
    return f'{shown if ";" in shown else f"{shown};-{shown}"};"{blank_cells.NONE}"'


def headers(table_columns: Sequence[str], units: Units) -> list[str]:
    """A header per column, with its unit where it has one. Where two would be equal the later one is spelt out, the
    column's own name where that is equal, too."""
    found: dict[str, str] = {}
    for column in table_columns:
        unit = columns.unsaid_unit(column, units)
        labels = [columns.label(column), _spelt(column)]
        headers = [*(f"{label} ({unit})" if unit else label for label in labels), units.name(column)]
        header = next(each for each in headers if each.lower() not in found)
        found[header.lower()] = header
    return list(found.values())


def _spelt(column: str) -> str:
    words = column.removesuffix("_cents").removesuffix("_in").removesuffix("_lb").split("_")
    return " ".join(words).capitalize()


def line_count(text: str, wide: float) -> int:
    """Lines that a text takes in a column of that width, broken between words; not every program finds it out."""
    count = 0
    for line in text.split("\n"):
        count, left = count + 1, wide
        for word in line.split():
            if len(word) > left and left < wide:
                count, left = count + 1, wide
            count += int(max(len(word) - 1, 0) // wide)
            left -= (len(word) - 1) % wide + 2
    return count


def width(header: str, values: pd.Series[Any], name: str, units: Units) -> float:
    """Characters that a column takes: its texts up to a limit beyond which they are wrapped, its header by words."""
    words = max(map(len, header.split()), default=0) + FILTER_WIDE
    known = values.dropna()
    if columns.quantity(name) is Quantity.TEXT:
        longest = max((len(str(value)) for value in known.head(500)), default=0)
        return max(words, min(longest + 2.0, 45.0), NARROWEST)
    ends = [known.min(), known.max()] if len(known) else []
    if columns.quantity(name) is Quantity.MONEY:
        ends.append(int(known.abs().sum()))  # a sum may stand below
    shown = max((len(formats.shown(end, name, units)) for end in ends), default=0)
    return max(words, shown + 3.0, NARROWEST)
