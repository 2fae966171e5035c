"""What every file format offers: headers, its first rows as text, and a copy of the kept columns into the archive."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import islice
from pathlib import Path
from typing import Protocol

import pyarrow as pa
import pyarrow.parquet as pq

from models.errors import SourceFileError
from models.privacy import blanked
from pipelines.warehouse import Connection

# Columns of an archived file beside the kept ones. No header begins with this mark.
FAULT, FAULT_COLUMN, AS_FOUND, LINE = "»fault", "»fault column", "»row", "»line"
BESIDE = ((FAULT_COLUMN, "varchar"), (FAULT, "varchar"), (AS_FOUND, "varchar"), (LINE, "bigint"))
# The key under which an archived file holds what the user should know of its reading, a line each.
NOTES = "dunnage_notes"
REJECT_REF, REASON = "reject_ref", "reason"
WHOLE_ROW = "(row)"
SAMPLE_ROWS = 1_000
# Contracts allow 200 characters; what is longer is rejected anyway and need not be kept whole.
LONGEST_CELL, LONGEST_ROW = 1_000, 20_000
_SURROGATE = re.compile("[\ud800-\udfff]")
_HALF = "holds half a character: {0}"
_BATCH_ROWS = 20_000


@dataclass(frozen=True)
class Kept:
    """A source column that is kept: its place among the headers, and how its text is written.

    decimal: the mark that its numbers have in text, so that native numbers are written with it too; None where nobody
    stated one. A column that feeds texts only has a point: its numbers are kept as they are.
    has_phones: whether phone numbers are blanked in it. is_told: whether its cells may be shown of a row whose cells
    cannot be told apart; not so where they may name a person whom another cell of the row would give away.
    """

    header: str
    place: int
    decimal: str | None = "."
    has_phones: bool = False
    is_told: bool = True


@dataclass(frozen=True)
class Row:
    """One source row: its cells as text, the line it began in, and what is wrong with it, if anything.

    as_found: the text of a row whose cells cannot be told apart; it then has no cells. With cells and without a fault
    it marks a row that was understood although it is not written by the standard.
    """

    cells: Sequence[str | None]
    line: int | None = None
    fault: str | None = None
    fault_column: str = WHOLE_ROW
    as_found: str | None = None


class Table(Protocol):
    """An opened source file."""

    @property
    def headers(self) -> tuple[str, ...]: ...

    @property
    def rows(self) -> Sequence[Sequence[str]]: ...

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        """Write the kept columns of all rows, in order, as Parquet. Raises SourceFileError."""


def unique_headers(headers: Iterable[str]) -> tuple[str, ...]:
    """Headers without surrounding blanks; a repeated one is numbered `Price (1)`, `Price (2)`, an empty one `(3)`."""
    bare = [" ".join(header.split()) for header in headers]
    counted: dict[str, int] = {}
    names = []
    for place, header in enumerate(bare, 1):
        counted[header] = counted.get(header, 0) + 1
        repeated = header and bare.count(header) > 1
        names.append(f"{header} ({counted[header]})" if repeated else header or f"({place})")
    return tuple(names)


def native_number(written: str, decimal: str | None) -> str:
    """A native number with the decimal mark of its column, as text that reads in one way only.

    With no mark stated, one with three figures behind its point gets a zero more: 1.125 could be eleven hundred.
    """
    if decimal is not None:
        return written.replace(".", decimal)
    is_ambiguous = len(written) > 4 and written[-4] == "." and written[-3:].isdecimal()
    return written + "0" if is_ambiguous else written


def cell_text(cell: object, decimal: str | None = ".") -> str:
    """A native cell as the text a person would write; numbers with the decimal mark of their column."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        whole = math.isfinite(cell) and cell == int(cell) and abs(cell) < 1e15
        return str(int(cell)) if whole else native_number(repr(cell), decimal)
    if isinstance(cell, datetime):
        return (
            cell.date().isoformat() if cell.time() == datetime.min.time() and not cell.tzinfo else cell.isoformat(" ")
        )
    if isinstance(cell, date):
        return cell.isoformat()
    return str(cell)


def sample(rows: Iterable[Row], width: int) -> tuple[tuple[str, ...], ...]:
    """The first rows, each as wide as the header."""
    filled = (tuple(cell or "" for cell in row.cells) for row in rows if row.fault is None)
    return tuple((cells + ("",) * width)[:width] for cells in islice(filled, SAMPLE_ROWS))


def write_rows(
    rows: Iterator[Row], kept: Sequence[Kept], target: Path, notes: Callable[[], Iterable[str]] = tuple
) -> None:
    """Write rows read in Python as Parquet, a batch at a time, and the notes that there are in the end.

    A row with half a character in a kept cell is written as one that is not understood: no text can hold it.
    """
    rows = (_whole(row, kept) for row in rows)
    names = [*(column.header for column in kept), FAULT_COLUMN, FAULT, AS_FOUND]
    schema = pa.schema([*((name, pa.string()) for name in names), (LINE, pa.int64())])
    with pq.ParquetWriter(target, schema, compression="zstd") as writer:
        while batch := list(islice(rows, _BATCH_ROWS)):
            columns = [_column(batch, column) for column in kept]
            columns.append([row.fault_column if row.fault else None for row in batch])
            columns.append([row.fault for row in batch])
            columns.append([row.as_found and blanked(row.as_found, phones=True)[:LONGEST_ROW] for row in batch])
            lines = [row.line for row in batch]
            writer.write_table(pa.table([*map(_strings, columns), pa.array(lines, pa.int64())], schema=schema))
        if told := "\n".join(notes()):
            writer.add_key_value_metadata({NOTES: told})


def _whole(row: Row, kept: Sequence[Kept]) -> Row:
    for column in kept:
        cell = row.cells[column.place] if column.place < len(row.cells) else None
        if cell and _SURROGATE.search(cell):
            shown = cell.encode("ascii", "backslashreplace").decode() if column.is_told else "…"
            return replace(row, cells=(), fault=_HALF.format(shown[:40]), fault_column=column.header, as_found=shown)
    return row


def notes_of(archived: Path) -> tuple[str, ...]:
    """The notes that an archived file holds."""
    told = (pq.read_metadata(archived).metadata or {}).get(NOTES.encode(), b"").decode()
    return tuple(told.splitlines())


def _strings(texts: Sequence[str | None]) -> pa.Array:
    return pa.array([text and text.encode("utf-8", "replace").decode() for text in texts], pa.string())


def _column(batch: Sequence[Row], column: Kept) -> list[str | None]:
    place = column.place
    texts = (row.cells[place] if place < len(row.cells) else None for row in batch)
    return [blanked(text[:LONGEST_CELL], phones=column.has_phones) if text else None for text in texts]


def source_error(where: str, what: str, next_step: str = "check the file, or export it again") -> SourceFileError:
    """A file that cannot be read: nothing of it is landed."""
    return SourceFileError(where, what, "this file; nothing of it was landed", next_step)


def beside_sql() -> str:
    """The columns beside the kept ones, empty: for rows that the engine has read without a fault."""
    return ", ".join(f"cast(null as {kind}) as {quoted(name)}" for name, kind in BESIDE)


def literal(text: str) -> str:
    """A text as SQL."""
    return "'" + text.replace("'", "''") + "'"


def quoted(name: str) -> str:
    """A column's name as SQL."""
    return '"' + name.replace('"', '""') + '"'
