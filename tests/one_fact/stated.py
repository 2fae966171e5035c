"""Cells of the warehouse's tables as page, workbook and `--json` state them: by table, key and column.

Lists of names are left out: surfaces write the first of them as one text, JSON has all, each on its line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pandas as pd
from openpyxl import load_workbook

from dashboards import workbook_file as books
from dashboards.word_columns import LISTS
from dashboards.workbook import CONTENTS
from models import columns
from models.fields import Quantity
from models.plain_rows import as_dicts
from models.shop_units import Units, kept_name
from models.tables import TABLES
from tests.dashboards.markup import parsed
from tests.one_fact.values import Value, typed, written

Place = tuple[str, tuple[str, ...], str]
WORDED = ("action_words", "alarm_words", "go_on_with", "other_way")


@dataclass(frozen=True)
class Stated:
    """What a surface states of a cell. place: its table, the key of its row as texts, its column."""

    surface: str
    place: Place
    value: Value


def key_of(row: Mapping[str, Any], table: str) -> tuple[str, ...] | None:
    """The row's key as texts; None where the row lacks a part of it."""
    key = TABLES[table].key if table in TABLES else ()
    if not key or any(name not in row for name in key):
        return None
    return tuple(_text(row[name]) for name in key)


def _text(cell: Any) -> str:
    if cell is None or cell != cell:
        return ""
    if hasattr(cell, "isoformat"):
        return str(cell.isoformat())[:10]
    return f"{cell:.6g}" if isinstance(cell, int | float) and not isinstance(cell, bool) else str(cell)


def of_page(surface: str, text: str, tables: Mapping[str, pd.DataFrame]) -> Iterator[Stated]:
    """Every cell in a table or a sentence of a page, but for marks of pictures, which round. tables: as drawn from."""
    rows = {name: as_dicts(table) for name, table in tables.items()}
    for element in parsed(text).walk():
        column = kept_name(element.attributes.get("data-column", ""))
        if not column or column in LISTS or element.tag == "g":
            continue
        table = element.stated("data-table")
        key = key_of(rows[table][int(element.stated("data-row"))], table) if table in rows else None
        value = written(element.text(), column)
        if key and value:
            # A sentence may say "$0.55 less" of -$0.55.
            is_said = element.tag != "td" and columns.quantity(column) is Quantity.MONEY
            yield Stated(surface, (table, key, column), replace(value, is_bare=True) if is_said else value)


def of_workbook(path: Path, units: Units) -> Iterator[Stated]:
    """Every typed cell of every table of a workbook; an empty cell states nothing."""
    book = load_workbook(path, data_only=True)
    contents = list(book[CONTENTS].iter_rows(min_row=5, values_only=True))
    placed = [(sheet, table) for sheet in book.worksheets for table in sheet.tables.values()]
    for line, (sheet, table) in zip(contents, placed, strict=True):
        name = str(line[4]).split()[2]
        cells = [[cell.value for cell in row] for row in sheet[table.ref]]
        columns = columns_under(cells[0], name, units)
        for row in cells[1 : -1 if table.totalsRowCount else None]:
            known = {column: cell for column, cell in zip(columns, row, strict=True) if column}
            yield from _of_row("workbook", name, known, is_major=True)
    book.close()


def columns_under(heads: Sequence[str], table: str, units: Units) -> list[str]:
    """The table's column under each head; "" where a head could be of several."""
    names = [*TABLES[table].columns, *WORDED]
    found: dict[str, str] = {}
    for name in names:
        (head,) = books.headers([name], units)
        found[head] = "" if head in found else name
    return [found.get(head, "") for head in heads]


def _of_row(surface: str, table: str, row: Mapping[str, Any], *, is_major: bool) -> Iterator[Stated]:
    minor = {name: typed(cell, name, is_major=is_major).read for name, cell in row.items()} if is_major else row
    key = key_of(minor, table)
    for column, cell in row.items():
        if key and column not in LISTS and not (is_major and cell is None):
            yield Stated(surface, (table, key, column), typed(cell, column, is_major=is_major))


def of_json(surface: str, found: Mapping[str, Sequence[Mapping[str, Any]]]) -> Iterator[Stated]:
    """Every cell of the warehouse's tables in what a command prints as JSON."""
    for table, rows in found.items():
        for row in rows if table in TABLES else ():
            yield from _of_row(surface, table, {kept_name(name): cell for name, cell in row.items()}, is_major=False)


def conflicts(stated: Sequence[Stated]) -> list[tuple[Stated, Stated]]:
    """Pairs of statements of one cell that cannot both be true."""
    first: dict[Place, list[Stated]] = {}
    found = []
    for each in stated:
        known = first.setdefault(each.place, [])
        found += [(other, each) for other in known if not each.value.agrees(other.value)]
        if all(other.surface != each.surface for other in known):
            known.append(each)
    return found
