"""A text file as rows, read one physical line at a time.

A quoted cell may run over several lines. Whether a quote opens such a cell or is a stray one is decided by the header's
width: where the lines would be rows of their own, none of them is taken for a row. A line that is not understood costs
only itself; the next physical line is read on.
"""

import re
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import NamedTuple, TextIO

from models.errors import SourceFileError
from pipelines.intake.reading.line_cells import UNENDED, Cells, Marks
from pipelines.intake.reading.tables import source_error

# No cell of a record has more lines; a quote that does not end is looked for no further.
MOST_LINES_OF_A_CELL = 500
_BYTES = re.compile("[\udc80-\udcff]")
_MOST_TOLD = 3
_NO_TEXT = "holds bytes that are no text in its encoding, {0}; correct them, or state the right `encoding`"
_UNCLEAR = "may be a row, or part of the quoted cell that begins in line {0}"


class Found(NamedTuple):
    """A row as it stands: its first line, its text without the line end, its cells or why they are not known."""

    line: int
    text: str
    cells: list[str]
    fault: str | None = None
    is_repaired: bool = False

    @property
    def is_blank(self) -> bool:
        """Whether the line is empty, but for blanks."""
        return not self.text.strip(" ")

    @property
    def is_empty(self) -> bool:
        """Whether no cell holds anything."""
        return self.fault is None and not any(cell.strip(" ") for cell in self.cells)

    @property
    def last_line(self) -> int:
        """The line in which the row ends."""
        return self.line + len(re.findall(r"\r\n|\r|\n", self.text))


@dataclass
class Lines:
    """The physical lines of an opened text, from its beginning, with their numbers.

    refuse_bytes: asked once, before a line with bytes that are no text is given. Raises SourceFileError for a line of
    more than `longest` characters, before more of it is read.
    """

    text: TextIO
    name: str
    longest: int
    refuse_bytes: Callable[[], None] | None = None
    number: int = 1

    def __post_init__(self) -> None:
        self._ahead: deque[str] = deque()

    def next(self) -> str | None:
        """The next line with its end; None where there is none."""
        if self._ahead:
            self.number += 1
            return self._ahead.popleft()
        line = self._read()
        self.number += bool(line)
        return line or None

    def ahead(self) -> Iterator[str]:
        """The lines that follow, which `next` gives afterwards all the same."""
        at = 0
        while True:
            if at == len(self._ahead):
                line = self._read()
                if not line:
                    return
                self._ahead.append(line)
            yield self._ahead[at]
            at += 1

    def _read(self) -> str:
        line = self.text.readline(self.longest + 2)
        if len(bare(line)) > self.longest:
            raise too_long(self.name, self.number + len(self._ahead), self.longest)
        if self.refuse_bytes is not None and has_bytes(line):
            self.refuse_bytes()
            self.refuse_bytes = None
        return line

    def skip(self, count: int) -> None:
        """Pass over so many lines."""
        for _ in range(count):
            self.next()


def too_long(name: str, line: int, longest: int) -> SourceFileError:
    """A line that no table of records has."""
    return source_error(
        name,
        f"line {line} is longer than {longest:,} characters",
        "check that this is a table of records, or raise longest_line_mb under [reading] in dunnage.toml",
    )


def bare(line: str) -> str:
    """The line without its end."""
    return line.rstrip("\r\n")


def has_bytes(text: str) -> bool:
    """Whether the text holds bytes that are no text, as Python escapes them."""
    return not text.isascii() and _BYTES.search(text) is not None


def rows(lines: Lines, marks: Marks, width: int | None) -> Iterator[Found]:
    """Each row and each blank line. width: cells of the header, None where it is not known yet."""
    for row in _whole_rows(lines, marks, width):
        yield _reported(row) if has_bytes(row.text) else row


def _reported(row: Found) -> Found:
    """A row with bytes that are no text: none of its cells is known, and the bytes are shown by their numbers."""
    return Found(row.line, with_numbers(row.text), [], no_text(row.text))


def no_text(row: str) -> str:
    """Why a row with such bytes is rejected."""
    kinds = dict.fromkeys(map(_number, _BYTES.finditer(row)))
    return _NO_TEXT.format(", ".join(list(kinds)[:_MOST_TOLD]))


def with_numbers(text: str) -> str:
    """The text with each such byte by its number, as in `\\xe9`."""
    return _BYTES.sub(_number, text)


def _number(byte: re.Match[str]) -> str:
    return f"\\x{ord(byte[0]) - 0xDC00:02x}"


def _whole_rows(lines: Lines, marks: Marks, width: int | None) -> Iterator[Found]:
    while True:
        number = lines.number
        line = lines.next()
        if line is None:
            return
        text = bare(line)
        cells = marks.split(text)
        if cells.is_open:
            yield from _over_lines(lines, marks, width, number, line)
        else:
            yield Found(number, text, *cells)


def _over_lines(lines: Lines, marks: Marks, width: int | None, number: int, first: str) -> Iterator[Found]:
    """The row whose quoted cell ends in a later line, or its physical lines where that is not certain."""
    parts, cells = _joined(lines, marks, first)
    if cells.fault is not None:
        yield Found(number, bare(first), [], UNENDED)
        return
    rest = list(islice(iter(lines.next, None), len(parts) - 1))
    widths = [len(marks.plain(bare(part))) for part in parts]
    may_be_rows = width in widths[1:] if len(cells.cells) != width else set(widths) == {width}
    if width is None or not may_be_rows:
        yield Found(number, bare("".join(parts)), *cells)
        return
    yield Found(number, bare(first), [], UNENDED)
    for at, part in enumerate(rest, number + 1):
        yield Found(at, bare(part), [], _UNCLEAR.format(number))


def _joined(lines: Lines, marks: Marks, first: str) -> tuple[list[str], Cells]:
    """The lines up to the one in which the quoted cell ends, and their cells."""
    parts = [first]
    cells, length = Cells([], UNENDED), len(first)
    for line in islice(lines.ahead(), MOST_LINES_OF_A_CELL):
        parts.append(line)
        length += len(line)
        if length > lines.longest:
            break
        if marks.quote in line:
            cells = marks.split(bare("".join(parts)))
            if not cells.is_open:
                break
    return parts, cells
