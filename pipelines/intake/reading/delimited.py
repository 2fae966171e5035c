"""CSV, TSV and other text with delimiters. The engine reads a file that is proven plain; Python reads any other.

Both readings agree on every file, which a test holds. Python's tells the rows that cannot be understood, each by its
text, reads on at the next physical line, and marks the rows that it understood although they break the standard.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from models.privacy import blanked_sql
from models.settings.reading_limits import DEFAULTS, Limits
from models.sql_quoting import literal, quoted
from models.visible import visible
from pipelines.intake.reading.archive_notes import metadata_sql
from pipelines.intake.reading.encodings import looks_like_utf8
from pipelines.intake.reading.finding import Content
from pipelines.intake.reading.headers import (
    MOST_TITLE_ROWS,
    Head,
    columns_enclosed,
    columns_of_figures,
    columns_of_inches,
    find_head,
    has_empty_end,
    looks_like_headers,
    without_header,
)
from pipelines.intake.reading.left_edge import begins_at_left, unplaced
from pipelines.intake.reading.line_cells import Marks
from pipelines.intake.reading.lines import Found, rows
from pipelines.intake.reading.plain_paths import plain_file, plain_folder
from pipelines.intake.reading.plain_proof import Plainness, looked_through
from pipelines.intake.reading.shape import Passed, Shape, notes, records
from pipelines.intake.reading.tables import (
    BESIDE,
    LINE,
    Kept,
    Row,
    Table,
    beside_sql,
    kept_name,
    passed_over,
    sample,
    unique_headers,
    write_rows,
)
from pipelines.intake.reading.text_files import TextFile, as_exported, marks_of
from pipelines.shop.settings import Source
from pipelines.shop.warehouse import Connection, EngineError

# The engine takes buffers of sixteen lines of this length, so a larger one costs memory and leaves threads idle; the
# few files with longer lines are read by Python.
_LONGEST_LINE = 1 << 21
_ABOVE = "stands above the header"
# A dictionary of more texts costs more time to build than it saves room: the packing finds what repeats by itself.
# Whole files are read, so filters that find single values in them are not written either.
_PACKED = "codec 'zstd', parquet_version v2, dictionary_size_limit 1000, write_bloom_filter false"


@dataclass(frozen=True)
class DelimitedFile:
    """An opened file in UTF-8. Records begin after line `skipped`.

    may_be_plain: no row seen so far needs Python's judgement. is_export: rejected rows that come back, whose cells may
    be guarded against being taken for formulas. above: rows above the header that may be records. notes: what the user
    should know of how the file is read.
    """

    path: Path
    content: Content
    text: TextFile
    marks: Marks
    shape: Shape
    headers: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    skipped: int
    may_be_plain: bool
    is_export: bool
    above: tuple[Found, ...] = ()
    notes: tuple[str, ...] = ()
    limits: Limits = DEFAULTS

    def line_shift(self) -> int:
        """Lines before the first row of a file that the engine read: there, each row is one line."""
        return self.skipped

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        found = self._looked_through()
        if self.may_be_plain and self._is_even(found) and self._is_copied(connection, kept, target, found):
            return
        passed = Passed()
        write_rows(self._reported(kept, passed), kept, target, self.limits, lambda: (*self.notes, *notes(passed)))

    def _looked_through(self) -> Plainness:
        name, headers = self.content.name, self.shape.cells
        return looked_through(self.path, name, self.marks, self.limits.longest_line, self.skipped, headers)

    def _is_even(self, found: Plainness) -> bool:
        """Whether there is one delimiter between any two cells: the engine would pass over one more at a line's end."""
        return found.is_plain and found.delimiter_count == found.line_count * (len(self.headers) - 1)

    def _is_copied(self, connection: Connection, kept: Sequence[Kept], target: Path, found: Plainness) -> bool:
        """Whether the engine read every line as a row."""
        with (
            suppress(EngineError),
            plain_file(self.path, target.parent, "source.csv") as path,
            plain_folder(target.parent) as folder,
        ):
            fresh = folder / target.name
            connection.execute(replace(self, path=path)._engine_copy(kept, fresh, may_have_mail=found.may_have_mail))
            counted = f"select count(*) from read_parquet({literal(str(fresh))})"
            if connection.execute(counted).fetchall() == [(found.line_count,)]:
                return True
        target.unlink(missing_ok=True)
        return False

    def _engine_copy(self, kept: Sequence[Kept], target: Path, *, may_have_mail: bool) -> str:
        notes = metadata_sql(self.notes, None)
        selected = self._selected(kept, may_have_mail=may_have_mail)
        return f"copy ({selected}) to {literal(str(target))} (format parquet, {_PACKED}{notes})"

    def _selected(self, kept: Sequence[Kept], *, may_have_mail: bool) -> str:
        texts = [f"{_kept_text(column, may_have_mail)} as {kept_name(number)}" for number, column in enumerate(kept)]
        columns = ", ".join(f"'c{place}': 'VARCHAR'" for place in range(len(self.headers)))
        mark = literal(self.marks.quote)
        return (
            f"select {', '.join([*texts, beside_sql()])} from read_csv({literal(str(self.path))}, "
            f"auto_detect=false, header=false, skip={self.skipped}, columns={{{columns}}}, "
            f"delim={literal(self.marks.delimiter)}, quote={mark}, escape={mark}, max_line_size={_LONGEST_LINE}, "
            "strict_mode=true)"
        )

    def _reported(self, kept: Sequence[Kept], passed: Passed) -> Iterator[Row]:
        """Every row; those whose cells cannot be told apart with the reason and their text."""
        places = {column.place for column in kept if column.is_shown}
        for found in self.above:
            yield _row(found._replace(fault=found.fault or _ABOVE), self.marks, self.shape.width, places)
        with self.text.lines(self.skipped) as lines:
            for found in records(rows(lines, self.marks, self.shape.width), self.shape, passed):
                row = _row(found, self.marks, self.shape.width, places)
                yield _unguarded(row) if self.is_export else row


def open_delimited(
    path: Path, content: Content, source: Source, *, is_export: bool = False, limits: Limits = DEFAULTS
) -> DelimitedFile:
    """Find the header and look at the first rows. Raises SourceFileError for a file without one."""
    source = as_exported(source) if is_export else source
    marks = marks_of(content.name, source)
    text = TextFile(path, content.name, limits, is_stated=source.encoding is not None)
    head, first = _looked_at(text, source, marks)
    enclosed = columns_enclosed(first, marks, len(head.cells))
    if (inches := columns_of_inches(first, marks)) or enclosed:
        marks = replace(marks, inches=inches, enclosed=frozenset(enclosed))
        first = text.first_rows(marks, head.last_line, len(head.cells))
    width = len(head.cells)
    is_unnamed = source.header and has_empty_end(width, first)
    if is_unnamed and source.columns and not begins_at_left(head.cells, first, source):
        raise unplaced(content.name, head.last_line)
    shape = Shape(
        head.cells if source.header else (),
        width + is_unnamed,
        columns_of_figures(first, width + is_unnamed),
        source.end_of_table,
        is_unnamed,
    )
    read_rows = records(first, replace(shape, end=source.end_of_table), Passed())
    good = [Row(row.cells[:width], row.line) for row in read_rows if row.fault is None]
    return DelimitedFile(
        path,
        content,
        text,
        marks,
        shape,
        unique_headers(head.cells),
        sample(good, width),
        skipped=head.last_line,
        may_be_plain=_may_be_plain(head, shape, first) and not is_export,
        is_export=is_export,
        above=head.above,
        notes=tuple(_opening_notes(content, path, source, head, enclosed)),
        limits=limits,
    )


def _looked_at(text: TextFile, source: Source, marks: Marks) -> tuple[Head, list[Found]]:
    """The header, and the first rows below it with empty lines among them."""
    first = text.first_rows(marks, source.skip, None)
    find, above = (find_head, first[:MOST_TITLE_ROWS]) if source.header else (without_header, first)
    head = find(above, source, text.name, text.limits)
    return head, text.first_rows(marks, head.last_line, len(head.cells))


def _may_be_plain(head: Head, shape: Shape, first: Sequence[Found]) -> bool:
    begin = next((row for row in first if not row.is_blank and not row.is_empty), None)
    is_second_header = begin is not None and looks_like_headers(begin.cells, shape.figures)
    is_simple = head.is_one_line and not head.above
    return is_simple and shape.width > 1 and not shape.is_unnamed and shape.end is None and not is_second_header


def _opening_notes(
    content: Content, path: Path, source: Source, head: Head, enclosed: Mapping[int, str]
) -> Iterator[str]:
    if path != content.path and looks_like_utf8(content.path, source.read_as):
        yield f"looks like UTF-8 but was read as {source.read_as}"
    if head.titles:
        yield passed_over(head.titles)
    for place, quotes in enclosed.items():
        yield f"the quotes {quotes[0]} {quotes[1]} around the cells of {visible(head.cells[place])!r} were taken off"


def _unguarded(row: Row) -> Row:
    return replace(row, cells=[cell and re.sub(r"^'('*[=+\-@\t\r])", r"\1", cell) for cell in row.cells])


def _row(found: Found, marks: Marks, width: int, kept: set[int]) -> Row:
    if found.fault is None and not found.is_repaired:
        return Row(found.cells, found.line)
    as_found = _reported_text(found, marks, width, kept)
    return Row(() if found.fault else found.cells, found.line, found.fault, as_found=as_found)


def _reported_text(found: Found, marks: Marks, width: int, kept: set[int]) -> str:
    """The text of a row. Pieces that may have slipped from a column that is not kept are left out."""
    if kept.issuperset(range(width)):
        return found.text
    pieces = found.text.split(marks.delimiter)
    # Where quotes are unclear a piece may also belong to the cells beside it.
    slack = int(len(found.cells) != len(pieces))
    over, under = max(0, len(pieces) - width) + slack, max(0, width - len(pieces)) + slack
    safe = (kept.issuperset(range(max(0, at - over), min(width, at + under + 1))) for at in range(len(pieces)))
    return marks.delimiter.join(piece if is_safe else "…" for piece, is_safe in zip(pieces, safe, strict=True))


def _kept_text(column: Kept, may_have_mail: bool) -> str:
    return blanked_sql(f"c{column.place}", phones=column.has_phones, emails=may_have_mail)


def lined_sql(main: Table) -> Iterator[str]:
    """SQL for the columns beside the kept ones of `m`, a copy of the table with file_row_number.

    The lines of a text file that the engine read are counted.
    """
    shift = f", m.file_row_number + 1 + {main.line_shift()}" if isinstance(main, DelimitedFile) else ""
    for name, _ in BESIDE:
        found = f"m.{quoted(name)}"
        yield f"coalesce({found}{shift}) as {quoted(name)}" if name == LINE and shift else found
