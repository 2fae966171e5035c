"""A text file in UTF-8, opened as often as it is looked at, and what its source states of it."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import partial
from itertools import islice
from pathlib import Path

from models.settings.reading_limits import Limits
from pipelines.intake.reading.encodings import refuse_unproven
from pipelines.intake.reading.line_cells import QUOTE, Marks
from pipelines.intake.reading.lines import Found, Lines, rows
from pipelines.intake.reading.tables import SAMPLE_CELLS, SAMPLE_ROWS, source_error
from pipelines.shop.settings import Source


@dataclass(frozen=True)
class TextFile:
    """The file, with the name that its user knows. is_stated: the user stated its encoding.

    Where nobody did, a file with bytes that are no text is refused, unless its other lines prove the encoding.
    """

    path: Path
    name: str
    limits: Limits
    is_stated: bool

    @contextmanager
    def lines(self, after: int) -> Iterator[Lines]:
        """The lines after the first ones. Bytes that are no text are in them as Python escapes them."""
        with self.path.open(encoding="utf-8-sig", errors="surrogateescape", newline="") as text:
            refuse = None if self.is_stated else partial(refuse_unproven, self.path, self.name)
            lines = Lines(text, self.name, self.limits.longest_line, refuse)
            lines.skip(after)
            yield lines

    def first_rows(self, marks: Marks, after: int, width: int | None) -> list[Found]:
        """The first rows after some lines."""
        with self.lines(after) as lines:
            return list(_sampled(rows(lines, marks, width)))


def _sampled(found: Iterator[Found]) -> Iterator[Found]:
    """The first rows; of wide ones fewer."""
    cells = 0
    for row in islice(found, SAMPLE_ROWS):
        yield row
        cells += len(row.cells)
        if cells > SAMPLE_CELLS:
            return


_LONGEST_DELIMITER = 4


def as_exported(source: Source) -> Source:
    """How exports of rejected rows are written, whatever the source's own files look like."""
    return replace(source, quote=QUOTE, escape="", skip=0, header_rows=1, end_of_table=None)


def marks_of(name: str, source: Source) -> Marks:
    """Delimiter, quote and escape. Raises SourceFileError for marks that cannot be told apart."""
    delimiter = "\t" if source.format == "tsv" and source.delimiter == "," else source.delimiter
    quote = QUOTE if source.quote is None else source.quote
    if not 0 < len(delimiter) <= _LONGEST_DELIMITER or re.search(r"[\r\n]", delimiter):
        raise source_error(name, f"delimiter {delimiter!r} is not one to four characters", "fix it in dunnage.toml")
    for setting, mark in (("quote", quote), ("escape", source.escape)):
        if len(mark) > 1 or mark in ("\r", "\n") or (mark and mark in delimiter):
            raise source_error(name, f"{setting} {mark!r} is not one character of its own", "fix it in dunnage.toml")
    return Marks(delimiter, quote, "" if source.escape == quote else source.escape, source.quote is not None)
