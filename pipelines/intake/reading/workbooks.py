"""XLSX: one sheet, read row by row. A formula counts as the value that was stored with it."""

from __future__ import annotations

import zipfile
import zlib
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from typing import TYPE_CHECKING
from xml.parsers import expat

from models.errors import DunnageError
from models.settings.reading_limits import Limits
from pipelines.intake.reading.cell_texts import cell_text, figures_text
from pipelines.intake.reading.finding import Content, most_unpacked
from pipelines.intake.reading.number_formats import PERCENT, dated_text
from pipelines.intake.reading.packages import Package, Sheet, WorkbookError, open_package, unescaped
from pipelines.intake.reading.sheets import Cell, head_place, sheet_rows
from pipelines.intake.reading.tables import (
    Kept,
    Row,
    passed_over,
    refuse_shape,
    sample,
    source_error,
    unique_headers,
    write_rows,
)

if TYPE_CHECKING:
    from pathlib import Path

    from pipelines.shop.warehouse import Connection

_SAMPLE_ROWS = 200
_DAMAGED = (
    *(zipfile.BadZipFile, zlib.error, expat.ExpatError, OSError, EOFError, RuntimeError, NotImplementedError),
    *(ValueError, KeyError, IndexError, AttributeError),
)


@dataclass(frozen=True)
class Workbook:
    """An opened sheet. header_row: its number in the sheet, 0 where there is none. titles: filled rows above it."""

    content: Content
    package: Package
    sheet: Sheet
    headers: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    header_row: int
    titles: int
    limits: Limits

    @property
    def sheet_names(self) -> list[str]:
        """All sheets that are not hidden, in their order."""
        return [sheet.name for sheet in self.package.sheets if not sheet.is_hidden]

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        rows = self._reported({column.place: column for column in kept})
        write_rows(rows, kept, target, self.limits, self._notes)

    def _notes(self) -> Iterator[str]:
        if self.titles:
            yield passed_over(self.titles)

    def _reported(self, kept: dict[int, Kept]) -> Iterator[Row]:
        for line, cells in _rows(self.package, self.sheet, self.content.name):
            if line > self.header_row:
                yield self._row(line, cells, kept)

    def _row(self, line: int, cells: list[Cell], kept: dict[int, Kept]) -> Row:
        texts = [""] * len(self.headers)
        fault: tuple[str, str] | None = None
        for cell in cells:
            if cell.column >= len(texts):
                beyond = f"has a value right of the last header, in cell {cell.column + 1} of the row"
                return Row(texts, line, *(fault or (beyond,)))
            column = kept.get(cell.column)
            texts[cell.column], reason = _read(cell, self.package, column.decimal if column else None)
            if column and not fault and (reason := reason or _misplaced(cell, self.package, column)):
                fault = reason, self.headers[cell.column]
        return Row(texts, line, *(fault or ()))


def _misplaced(cell: Cell, package: Package, column: Kept) -> str | None:
    """Why a number means something else than its column holds, if so."""
    is_share = cell.kind == "n" and cell.value and package.meanings.get(cell.style) == PERCENT
    return "is shown as a percentage" if is_share and not column.takes_shares else None


def open_workbook(
    content: Content, sheet: str | None, mapped: Collection[str], *, is_headed: bool, limits: Limits
) -> Workbook:
    """Find the sheet and its header. mapped: the headers that the column map names. Raises SourceFileError."""
    package = _opened(content, limits)
    chosen = _chosen(package, sheet, content.name)
    filled = ((line, cells) for line, cells in _rows(package, chosen, content.name) if cells)
    first = list(islice(filled, 1 + _SAMPLE_ROWS))
    if not first:
        raise source_error(content.name, "holds no header and no row")
    refuse_shape([""] * _width(first[0][1]), content.name, limits)
    at = head_place([_texts(cells, package, _width(cells)) for _, cells in first], mapped) if is_headed else 0
    line, cells = first[at]
    width = _width(cells)
    named = _texts(cells, package, width) if is_headed else [str(place) for place in range(1, width + 1)]
    refuse_shape(named, content.name, limits)
    rows = sample((Row(_texts(cells, package, width)) for _, cells in first[at + is_headed :]), width)
    headers = unique_headers(named)
    return Workbook(content, package, chosen, headers, rows, line if is_headed else 0, at, limits)


def _width(cells: Sequence[Cell]) -> int:
    return cells[-1].column + 1


def _opened(content: Content, limits: Limits) -> Package:
    try:
        file = content.path.open("rb")
        with zipfile.ZipFile(content.path) as packed:
            unpacked = sum(member.file_size for member in packed.infolist())
        most = most_unpacked(content.byte_count, limits)
        if unpacked > most:
            what = f"unpacks to {unpacked:,} bytes, more than {most:,}"
            raise source_error(content.name, what, "save the sheet as CSV and look at it")
        return open_package(file)
    except WorkbookError as wrong:
        raise source_error(content.name, f"is a workbook that no program writes: {wrong}") from None
    except _DAMAGED as broken:
        raise source_error(content.name, f"is no XLSX workbook, or a damaged one: {_said(broken)}") from None


def _chosen(package: Package, wanted: str | None, name: str) -> Sheet:
    """The sheet that is stated, else the first. A first sheet that its reader cannot see is asked about."""
    listed = (
        ", ".join(f"{sheet.name} (hidden)" if sheet.is_hidden else sheet.name for sheet in package.sheets) or "none"
    )
    if wanted is None and package.sheets and package.sheets[0].is_hidden:
        what = f"has a hidden first sheet, and which one to read is not stated; it has {listed}"
        raise source_error(name, what, 'write sheet = "NAME" for this source in dunnage.toml')
    found = [sheet for sheet in package.sheets if wanted in (None, sheet.name)]
    if not found:
        stated = "a sheet with rows" if wanted is None else f"sheet {wanted!r}"
        raise source_error(name, f"has no {stated}; it has {listed}", "correct `sheet` in dunnage.toml")
    return found[0]


def _rows(package: Package, sheet: Sheet, name: str) -> Iterator[tuple[int, list[Cell]]]:
    try:
        yield from sheet_rows(package, sheet)
    except DunnageError:
        raise
    except WorkbookError as wrong:
        raise source_error(name, f"sheet {sheet.name} cannot be read for sure: {wrong}", "save it again") from None
    except _DAMAGED as broken:
        raise source_error(name, f"is a damaged workbook: {_said(broken)}") from None


def _said(broken: Exception) -> str:
    return str(broken).splitlines()[0] if str(broken) else repr(broken)


def _texts(cells: list[Cell], package: Package, width: int) -> list[str]:
    texts = [""] * width
    for cell in cells:
        if cell.column < width:
            texts[cell.column] = _read(cell, package, None)[0]
    return texts


def _read(cell: Cell, package: Package, decimal: str | None) -> tuple[str, str | None]:
    """The cell's text, and why it says nothing, if so."""
    value = cell.value
    if value is None or (value == "" and cell.kind != "inlineStr"):
        if cell.formula is None:
            return "", None
        return f"={cell.formula}", "is a formula without a stored value; open and save the workbook, or write the value"
    if cell.kind == "e":
        return value, f"is a spreadsheet error, {value}"
    if cell.kind in _TEXTS:
        return _TEXTS[cell.kind](value, package), None
    if cell.kind != "n":
        return value, f"has a type that no program writes, {cell.kind[:20]}"
    return _number(value, package.meanings.get(cell.style), package, decimal)


def _shared(value: str, package: Package) -> str:
    place = int(value)
    if not 0 <= place < len(package.texts):
        raise WorkbookError(f"a cell refers to shared text {place:,}, of {len(package.texts):,}")
    return package.texts[place]


def _dated(value: str, package: Package) -> str:
    """A date of its own type, in ISO 8601."""
    try:
        return cell_text(datetime.fromisoformat(value))
    except ValueError:
        return value


_TEXTS: dict[str, Callable[[str, Package], str]] = {
    "s": _shared,
    "str": lambda value, package: unescaped(value),
    "inlineStr": lambda value, package: unescaped(value),
    "b": lambda value, package: "yes" if value.strip() in ("1", "true") else "no",
    "d": _dated,
}


def _number(value: str, kind: str | None, package: Package, decimal: str | None) -> tuple[str, str | None]:
    is_dated = kind is not None and kind != PERCENT
    try:
        if kind is not None and is_dated:
            return dated_text(float(value), kind, is_1904=package.is_1904, decimal=decimal), None
        return figures_text(value.strip(), decimal), None
    except ValueError:
        return value, "is not a possible date" if is_dated else "is not a number, though it is stored as one"
