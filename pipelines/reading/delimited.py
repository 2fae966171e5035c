"""CSV and TSV. The engine reads the file; where it refuses a row, Python reads the file again, row by row.

Both readings agree wherever the engine accepts a file, which a test holds. Only Python's can tell the rows that have
the wrong number of cells from the others.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path
from typing import TextIO

from models.privacy import blanked_sql
from models.reading_limits import DEFAULTS, Limits
from pipelines.reading.encodings import undecodable
from pipelines.reading.finding import Content
from pipelines.reading.plain_paths import plain_file, plain_folder
from pipelines.reading.tables import (
    Kept,
    Row,
    beside_sql,
    kept_name,
    literal,
    refuse_shape,
    sample,
    sample_rows,
    source_error,
    unique_headers,
    write_rows,
)
from pipelines.settings import Source
from pipelines.warehouse import Connection, EngineError

_LONGEST_FIELD = 1 << 26
# The engine takes buffers of sixteen lines of this length, so a larger one costs memory and leaves threads idle; the
# few files with longer lines are read by Python.
_LONGEST_LINE = 1 << 21


@dataclass(frozen=True)
class DelimitedFile:
    """An opened CSV file in UTF-8. `skipped` lines come before the first row of records.

    `is_plain`: no zero bytes and a header on the first line, so that the engine may try it. `is_export`: rejected
    rows that come back, whose cells may be guarded against being taken for formulas.
    """

    path: Path
    content: Content
    delimiter: str
    headers: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    skipped: int
    is_plain: bool
    is_export: bool
    limits: Limits = DEFAULTS

    def line_shift(self, row_count: int) -> int | None:
        """Lines before the first row, where every row takes one line; None where the line breaks say otherwise."""
        lines = self.skipped + row_count
        return self.skipped if self.content.line_breaks in (lines, lines - 1) else None

    def lines_of(self, row_numbers: set[int]) -> dict[int, int]:
        """The lines in which rows begin, found by reading the file again."""
        with _opened(self.path, self.content.name) as text:
            rows = (row for row in _rows(text, self.delimiter, self.content.name) if (row.line or 0) > self.skipped)
            return {number: row.line or 0 for number, row in enumerate(rows, 1) if number in row_numbers}

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        if self.is_plain and not self.is_export and len(self.delimiter.encode()) == 1:
            try:
                with plain_file(self.path, target.parent, "source.csv") as path, plain_folder(target.parent) as folder:
                    connection.execute(replace(self, path=path)._engine_copy(kept, folder / target.name))
                return
            except EngineError:
                target.unlink(missing_ok=True)
        write_rows(self._told(kept), kept, target, self.limits)

    def _engine_copy(self, kept: Sequence[Kept], target: Path) -> str:
        return f"copy ({self._selected(kept)}) to {literal(str(target))} (format parquet, codec 'zstd')"

    def _selected(self, kept: Sequence[Kept]) -> str:
        texts = [f"{_kept_text(column)} as {kept_name(number)}" for number, column in enumerate(kept)]
        columns = ", ".join(f"'c{place}': 'VARCHAR'" for place in range(len(self.headers)))
        return (
            f"select {', '.join([*texts, beside_sql()])} from read_csv({literal(str(self.path))}, auto_detect=false, "
            f"header=false, skip={self.skipped}, columns={{{columns}}}, delim={literal(self.delimiter)}, "
            f"quote='\"', escape='\"', max_line_size={_LONGEST_LINE}, strict_mode=true)"
        )

    def _told(self, kept: Sequence[Kept]) -> Iterator[Row]:
        """Every row, those with too few or too many cells with the reason."""
        places = {column.place for column in kept}
        with _opened(self.path, self.content.name) as text:
            for row in _rows(text, self.delimiter, self.content.name):
                if row.line is None or row.line > self.skipped:
                    yield _checked(_unguarded(row) if self.is_export else row, len(self.headers), places)


def open_delimited(
    path: Path, content: Content, source: Source, *, is_export: bool = False, limits: Limits = DEFAULTS
) -> DelimitedFile:
    """Find the header: the first row with any text. Raises SourceFileError for a file without one."""
    delimiter = "\t" if source.format == "tsv" and source.delimiter == "," else source.delimiter
    if len(delimiter) != 1:
        raise source_error(content.name, f"delimiter {delimiter!r} is not one character", "mend it in dunnage.toml")
    with _opened(path, content.name) as text:
        rows = _rows(text, delimiter, content.name)
        first = next((row for row in rows if row.fault or any(cell and cell.strip() for cell in row.cells)), None)
        if first is None or first.line is None:
            raise source_error(content.name, "holds no header and no row")
        refuse_shape([cell or "" for cell in first.cells], content.name, limits)
        told = [*([] if source.header else [first]), *islice(rows, sample_rows(len(first.cells)))]
    cells = [cell or "" for cell in first.cells]
    named = cells if source.header else [str(place) for place in range(1, len(cells) + 1)]
    spanned = sum(len(re.findall(r"\r\n|\r|\n", cell)) for cell in cells)
    return DelimitedFile(
        path,
        content,
        delimiter,
        unique_headers(named),
        sample((row for row in told if len(row.cells) == len(named)), len(named)),
        skipped=first.line + spanned if source.header else first.line - 1,
        # The engine miscounts skipped lines where line ends are mixed, so it is given files whose header comes first.
        is_plain=not content.has_nul and not spanned and first.line == 1,
        is_export=is_export,
        limits=limits,
    )


@contextmanager
def _opened(path: Path, name: str) -> Iterator[TextIO]:
    previous = csv.field_size_limit(_LONGEST_FIELD)
    try:
        with path.open(encoding="utf-8-sig", newline="") as text:
            yield text
    except UnicodeDecodeError:
        raise undecodable(path, name, "utf-8") from None
    finally:
        csv.field_size_limit(previous)


def _rows(text: TextIO, delimiter: str, name: str) -> Iterator[Row]:
    """Each row that is no empty line, with the line it begins in. A badly quoted row comes without its cells."""
    reader = csv.reader(text, delimiter=delimiter, skipinitialspace=True, strict=True)
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader, None)
        except csv.Error as wrong:
            if "unexpected end" in str(wrong) or "field limit" in str(wrong):
                raise source_error(name, f"a quoted cell that begins in line {line} does not end") from None
            yield Row((), line, "has text after a closing quote")
            continue
        if cells is None:
            return
        if cells:
            yield Row(cells, line)


def _unguarded(row: Row) -> Row:
    return Row([cell and re.sub(r"^'('*[=+\-@\t\r])", r"\1", cell) for cell in row.cells], row.line, row.fault)


def _checked(row: Row, width: int, kept: set[int]) -> Row:
    """The row, or the reason why its cells cannot be told apart. Empty cells right of the last header are none.

    Of a row with too few or too many cells only those are told that cannot have slipped from a column not kept.
    """
    found = len(row.cells)
    if row.fault or found == width or (found > width and not any(row.cells[width:])):
        return replace(row, cells=row.cells[:width])
    over, under = max(0, found - width), max(0, width - found)
    safe = (kept.issuperset(range(max(0, at - over), min(width, at + under + 1))) for at in range(found))
    told = " | ".join((cell or "") if is_safe else "…" for cell, is_safe in zip(row.cells, safe, strict=True))
    reason = f"has {found} cells where the header has {width}" if over else f"has {found} of {width} cells"
    return Row((), row.line, reason, as_found=told)


def _kept_text(column: Kept) -> str:
    return blanked_sql(f"c{column.place}", phones=column.has_phones)
