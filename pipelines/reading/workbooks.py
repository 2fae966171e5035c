"""XLSX: one sheet, read row by row. A formula counts as the value that was stored with it."""

from __future__ import annotations

import warnings
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import time, timedelta
from itertools import repeat
from pathlib import Path
from typing import Any

from openpyxl import load_workbook

from models.errors import DunnageError
from pipelines.reading.finding import MOST_RATIO, SMALL_BYTES, Content
from pipelines.reading.tables import (
    Kept,
    Row,
    cell_text,
    native_number,
    sample,
    source_error,
    unique_headers,
    write_rows,
)
from pipelines.settings import Source
from pipelines.warehouse import Connection

_CHUNK = 1 << 20
# Reading cells of a workbook is slow, so fewer rows are looked at before all are read.
_SAMPLE_ROWS = 200
Cells = tuple[Any, ...]


@dataclass(frozen=True)
class Workbook:
    """An opened sheet. `header_row` is its number in the sheet, 0 where there is none."""

    path: Path
    content: Content
    sheet: str | None
    headers: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    header_row: int
    has_formulas: bool

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        decimals = {column.place: column.decimal for column in kept}
        write_rows(self._told(decimals), kept, target)

    def _told(self, decimals: dict[int, str | None]) -> Iterator[Row]:
        kept = set(decimals)
        with _sheet_rows(self.path, self.content.name, self.sheet, self.has_formulas) as numbered:
            for line, cells, formulas in numbered:
                if line > self.header_row and any(cell.value is not None for cell in (*cells, *formulas)):
                    yield _row(line, cells, formulas, kept, decimals, self.headers)


def open_workbook(path: Path, content: Content, source: Source) -> Workbook:
    """Find the sheet and its header: the first row with any text. Raises SourceFileError."""
    has_formulas = _look_inside(path, content)
    with _sheet_rows(path, content.name, source.sheet, has_formulas) as numbered:
        filled = ((line, cells) for line, cells, _ in numbered if any(cell.value is not None for cell in cells))
        line, cells = next(filled, (0, ()))
        if not cells:
            raise source_error(content.name, "holds no header and no row")
        width = 1 + max(place for place, cell in enumerate(cells) if cell.value is not None)
        named = [cell_text(cell.value) if source.header else str(at) for at, cell in enumerate(cells[:width], 1)]
        first = [] if source.header else [Row(_texts(cells), line)]
        told = (Row(_texts(cells), line) for line, cells in filled)
        rows = sample((*first, *(row for row, _ in zip(told, range(_SAMPLE_ROWS), strict=False))), width)
    header_row = line if source.header else 0
    return Workbook(path, content, source.sheet, unique_headers(named), rows, header_row, has_formulas)


def _texts(cells: Cells) -> list[str]:
    return [cell_text(_plain(cell.value, None), None) for cell in cells]


def _row(
    line: int, cells: Cells, formulas: Cells, kept: set[int], decimals: dict[int, str | None], headers: Sequence[str]
) -> Row:
    marks = (decimals.get(place) for place in range(len(cells)))
    texts = [cell_text(_plain(cell.value, mark), mark) for cell, mark in zip(cells, marks, strict=True)]
    for place in sorted(kept & set(range(len(cells)))):
        reason = _fault(cells[place], formulas[place] if place < len(formulas) else None)
        if reason:
            texts[place] = texts[place] or str(formulas[place].value)
            return Row(texts, line, reason, headers[place])
    beyond = [place for place in range(len(headers), len(texts)) if texts[place]]
    if beyond:
        return Row(texts, line, f"has a value right of the last header, in cell {beyond[0] + 1} of the row")
    return Row(texts, line)


def _fault(cell: Any, formula: Any) -> str | None:
    if getattr(cell, "data_type", None) == "e":
        return f"is a spreadsheet error, {cell.value}"
    if formula is not None and cell.value is None and getattr(formula, "data_type", None) == "f":
        return "is a formula without a stored value; open and save the workbook, or write the value"
    return None


def _plain(cell: object, decimal: str | None) -> object:
    if isinstance(cell, timedelta):
        return f"{native_number(f'{cell.total_seconds() / 60:g}', decimal)} min"
    return cell.isoformat() if isinstance(cell, time) else cell


@contextmanager
def _sheet_rows(
    path: Path, name: str, sheet: str | None, has_formulas: bool
) -> Iterator[Iterator[tuple[int, Cells, Cells]]]:
    """Numbered rows of stored values, beside them the same rows as written where there are formulas."""
    books: list[Any] = []
    try:
        with warnings.catch_warnings():
            # openpyxl warns of styles and extensions it leaves out; none of them holds a record.
            warnings.simplefilter("ignore")
            values = _rows_of(books, path, name, sheet, stored=True)
            written = _rows_of(books, path, name, sheet, stored=False) if has_formulas else repeat(())
            pairs = zip(values, written, strict=False)
            yield ((line, cells, formulas) for line, (cells, formulas) in enumerate(pairs, 1))
    except DunnageError:
        raise
    except Exception as broken:  # openpyxl raises what its XML and zip readers raise
        raise source_error(
            name, f"is a damaged workbook: {str(broken).splitlines()[0] if str(broken) else broken!r}"
        ) from None
    finally:
        for book in books:
            book.close()


def _rows_of(books: list[Any], path: Path, name: str, sheet: str | None, *, stored: bool) -> Iterator[Cells]:
    # openpyxl goes by the suffix, and an unpacked file has none.
    opened = path.open("rb")
    books.append(opened)
    book = load_workbook(opened, read_only=True, data_only=stored)
    books.append(book)
    titles = [each.title for each in book.worksheets]
    wanted = sheet or (titles[0] if titles else None)
    if wanted not in titles:
        listed = ", ".join(titles) or "none"
        raise source_error(name, f"has no sheet {wanted!r}; it has {listed}", "mend `sheet` in dunnage.toml")
    found = book[wanted]
    # Some programs state wrong dimensions, and rows beyond them would be left out.
    found.reset_dimensions()
    rows: Iterator[Cells] = found.iter_rows()
    return rows


def _look_inside(path: Path, content: Content) -> bool:
    """Whether any sheet holds a formula. Refuses what is no workbook and what unpacks beyond reason."""
    try:
        with zipfile.ZipFile(path) as packed:
            members = packed.infolist()
            _refuse_bomb(sum(member.file_size for member in members), content)
            sheets = [member for member in members if member.filename.startswith("xl/worksheets/")]
            return any(_holds_formula(packed, member) for member in sheets)
    except (zipfile.BadZipFile, OSError, EOFError, RuntimeError, NotImplementedError, ValueError) as broken:
        raise source_error(content.name, f"is no XLSX workbook, or a damaged one: {broken}") from None
    except Exception as broken:  # zlib.error and what else a damaged member gives
        raise source_error(content.name, f"is a damaged workbook: {broken}") from None


def _refuse_bomb(unpacked: int, content: Content) -> None:
    most = max(SMALL_BYTES, MOST_RATIO * content.byte_count)
    if unpacked > most:
        raise source_error(
            content.name, f"unpacks to {unpacked:,} bytes, more than {most:,}", "save the sheet as CSV and look at it"
        )


def _holds_formula(packed: zipfile.ZipFile, member: zipfile.ZipInfo) -> bool:
    with packed.open(member) as opened:
        tail = b""
        while chunk := opened.read(_CHUNK):
            if b"<f>" in (seen := tail + chunk) or b"<f " in seen:
                return True
            tail = chunk[-3:]
    return False
