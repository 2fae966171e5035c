"""What every file format offers: headers, its first rows as text, and a copy of the kept columns into the archive."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, count, islice
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from models.column_map.sample_values import FIGURE
from models.errors import SourceFileError
from models.privacy import blanked
from models.settings.reading_limits import DEFAULTS, Limits
from models.sql_quoting import literal, quoted
from pipelines.intake.reading.archive_notes import metadata
from pipelines.intake.reading.cell_texts import Native

if TYPE_CHECKING:
    from pipelines.shop.warehouse import Connection

# Columns of an archived file beside the kept ones, which are named by number.
FAULT, FAULT_COLUMN, AS_FOUND, LINE = "»fault", "»fault column", "»row", "»line"
BESIDE = ((FAULT_COLUMN, "varchar"), (FAULT, "varchar"), (AS_FOUND, "varchar"), (LINE, "bigint"))
REJECT_REF, REASON = "reject_ref", "reason"
WHOLE_ROW = "(row)"
SAMPLE_ROWS = 1_000
SAMPLE_CELLS = 200_000
_BATCH_ROWS = 20_000
# As many characters of a cell are kept that was too long to be read.
SHOWN_CHARACTERS = 1_000
_HALF_CHARACTER = re.compile("[\ud800-\udfff]")


@dataclass(frozen=True)
class Kept:
    """A source column that is kept: its place among the headers, and how its text is written.

    decimal: the mark that its numbers have in text, so that native numbers are written with it too; None where nobody
    stated one. A column that feeds texts only has a point: its numbers are kept as they are.
    has_phones: whether phone numbers are blanked in it. is_shown: whether its cells may be shown of a row whose
    cells cannot be told apart; not so where they may name a person whom another cell of the row would give away.
    takes_shares: whether a number that is shown as a percentage may be the number that it is stored as.
    """

    header: str
    place: int
    decimal: str | None = "."
    has_phones: bool = False
    is_shown: bool = True
    takes_shares: bool = True


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


class ShapeError(ValueError):
    """What is wrong with a file as a whole, where its name is not known."""


class Table(Protocol):
    """An opened source file."""

    @property
    def headers(self) -> tuple[str, ...]: ...

    @property
    def rows(self) -> Sequence[Sequence[str]]: ...

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        """Write the kept columns of all rows, in order, as Parquet. Raises SourceFileError.

        The columns are named by `kept_name`, whatever their headers are; beside them stand those of BESIDE.
        """


def kept_name(number: int) -> str:
    """The name under which the n-th kept column is archived. No header is ever a name for the engine."""
    return f"c{number}"


def has_figure_sql(cell: str) -> str:
    """SQL for whether a cell holds an amount of something."""
    return f"coalesce(regexp_matches({cell}, {literal(FIGURE)}), false)"


def plain_header(header: str) -> str:
    """A header as it is compared with the one that is mapped: without case, and blanks alike."""
    return " ".join(header.split()).casefold()


def unique_headers(headers: Iterable[str]) -> tuple[str, ...]:
    """Headers without surrounding blanks; a repeated one is numbered `Price (1)`, `Price (2)`, an empty one `(3)`."""
    bare = [" ".join(header.split()) for header in headers]
    times = Counter(bare)
    taken = {header for header in bare if times[header] == 1}
    names = []
    for place, header in enumerate(bare, 1):
        names.append(header if header and times[header] == 1 else _numbered(header, place, taken))
        taken.add(names[-1])
    return tuple(names)


def _numbered(header: str, place: int, taken: set[str]) -> str:
    """The first number that leads to a name which no other header has."""
    first = header or f"({place})"
    numbered = (f"{first} ({number})" for number in count(1))
    return next(name for name in chain([] if header else [first], numbered) if name not in taken)


def sample(rows: Iterable[Row], width: int) -> tuple[tuple[str, ...], ...]:
    """The first rows, each as wide as the header; of wide tables fewer."""
    filled = (tuple((cell or "")[:SHOWN_CHARACTERS] for cell in row.cells[:width]) for row in rows if not row.fault)
    return tuple(cells + ("",) * (width - len(cells)) for cells in islice(filled, sample_rows(width)))


def sample_rows(width: int) -> int:
    """How many rows of a table of so many columns are looked at."""
    return min(SAMPLE_ROWS, 1 + SAMPLE_CELLS // max(1, width))


def refuse_shape(headers: Sequence[str], name: str, limits: Limits) -> None:
    """Raises SourceFileError for a header row that no honest file has."""
    if len(headers) > limits.max_columns:
        what = f"has {len(headers):,} columns, more than {limits.max_columns:,}"
        raise source_error(name, what, "look at it; max_columns under [reading] in dunnage.toml may be raised")
    longest = max(map(len, headers), default=0)
    if longest > limits.longest_header:
        what = f"has a header of {longest:,} characters, more than {limits.longest_header:,}"
        raise source_error(name, what, "look at it; longest_header under [reading] in dunnage.toml may be raised")


def write_rows(
    rows: Iterator[Row],
    kept: Sequence[Kept],
    target: Path,
    limits: Limits = DEFAULTS,
    notes: Callable[[], Iterable[str]] = tuple,
) -> None:
    """Write rows read in Python as Parquet, a batch at a time, with what is known of them in the end.

    Raises ShapeError for blank rows without end.
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    texts = [*map(kept_name, range(len(kept))), FAULT_COLUMN, FAULT, AS_FOUND]
    schema = pa.schema([*((name, pa.string()) for name in texts), (LINE, pa.int64())])
    blank, numbers = 0, set[int]()
    with pq.ParquetWriter(target, schema, compression="zstd") as writer:
        while batch := list(islice(rows, _BATCH_ROWS)):
            blank = _blank_rows(batch, blank, limits)
            numbers |= {column.place for column in kept if column.place not in numbers and _has_native(batch, column)}
            arrays = map(pa.array, _columns(batch, kept, limits), schema.types)
            writer.write_table(pa.table(list(arrays), schema=schema))
        as_texts = [column.header for column in kept if column.place not in numbers]
        writer.add_key_value_metadata(metadata(notes(), as_texts))


def _has_native(batch: Sequence[Row], column: Kept) -> bool:
    place = column.place
    return any(place < len(row.cells) and type(row.cells[place]) is Native for row in batch)


def _blank_rows(batch: Sequence[Row], before: int, limits: Limits) -> int:
    """How many blank rows there are at the end of the batch, with those before it. Raises ShapeError."""
    filled = (at for at, row in enumerate(reversed(batch)) if row.fault or any(row.cells))
    last = next(filled, None)
    blank = before + len(batch) if last is None else last
    if blank > limits.max_blank_rows:
        raise ShapeError(f"holds more than {limits.max_blank_rows:,} blank rows one after another")
    return blank


def _columns(batch: Sequence[Row], kept: Sequence[Kept], limits: Limits) -> list[Sequence[str | int | None]]:
    """The kept columns of some rows as they are archived, then those of BESIDE."""
    faults = {at: (row.fault, row.fault_column) for at, row in enumerate(batch) if row.fault}
    columns: list[Sequence[str | int | None]] = []
    for column in kept:
        place = column.place
        cells = [row.cells[place] if place < len(row.cells) else None for row in batch]
        for at, fault in _faults_in(cells, limits):
            faults.setdefault(at, (fault, column.header))
            cells[at] = readable(cells[at] or "")
        columns.append([blanked(cell, phones=column.has_phones) if cell else None for cell in cells])
    first_faults = [faults.get(at, (None, None)) for at in range(len(batch))]
    as_found = [row.as_found and blanked(readable(row.as_found, limits.longest_cell), phones=True) for row in batch]
    return [
        *columns,
        [column for _, column in first_faults],
        [fault for fault, _ in first_faults],
        as_found,
        [row.line for row in batch],
    ]


def _faults_in(cells: Sequence[str | None], limits: Limits) -> list[tuple[int, str]]:
    """Cells that are not read at all, by their place, with the reason. They are looked for all at once."""
    filled = [cell for cell in cells if cell]
    is_long = max(map(len, filled), default=0) > limits.longest_cell
    if not is_long and ((joined := "".join(filled)).isascii() or not _HALF_CHARACTER.search(joined)):
        return []
    found = ((at, cell_fault(cell, limits)) for at, cell in enumerate(cells) if cell)
    return [(at, fault) for at, fault in found if fault]


def cell_fault(cell: str, limits: Limits) -> str | None:
    """Why a cell is not read at all, whatever it holds. It is never cut and then read."""
    if len(cell) > limits.longest_cell:
        return f"has {len(cell):,} characters, more than {limits.longest_cell:,}; only the first are shown"
    return None if cell.isascii() or not _HALF_CHARACTER.search(cell) else "holds half a character"


def readable(text: str, most: int = SHOWN_CHARACTERS) -> str:
    """The text as far as it is shown: cut, half characters by their numbers, so that different ones stay apart."""
    return text[:most].encode("utf-8", "backslashreplace").decode()


def passed_over(titles: int) -> str:
    """What is said of lines above the header."""
    return (
        f"{titles} {'line' if titles == 1 else 'lines'} above the header {'was' if titles == 1 else 'were'} passed over"
    )


def source_error(where: str, what: str, next_step: str = "check the file, or export it again") -> SourceFileError:
    """A file that cannot be read: nothing of it is imported."""
    return SourceFileError(where, what, "this file; nothing of it was imported", next_step)


def beside_sql() -> str:
    """The columns beside the kept ones, empty: for rows that the engine has read without a fault."""
    return ", ".join(f"cast(null as {kind}) as {quoted(name)}" for name, kind in BESIDE)
