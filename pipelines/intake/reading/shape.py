"""Which rows of a text file are records of its table: not its repeated headers, its totals, or what stands below it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from models.settings.text_files import EMPTY_LINE
from models.visible import counted
from pipelines.intake.reading.headers import looks_like_headers
from pipelines.intake.reading.lines import Found

# Words for a total, in small letters and ASCII.
TOTALS = (
    "total",
    "totals",
    "grand total",
    "subtotal",
    "sub-total",
    "sum",
    "gesamt",
    "gesamtsumme",
    "zwischensumme",
    "summe",
    "totaal",
    "totale",
    "somme",
)
_SECOND_HEADER = (
    "has words where the other rows have figures: a second row of headers? state header_rows for this source"
)
_TOTAL = "looks like a total, not like a record"
_BELOW = "stands below the end of the table, which ends before line {0}"


@dataclass(frozen=True)
class Shape:
    """What is known of the table. cells: the headers as they stand, empty without header. figures: columns of figures.

    is_unnamed: the last cell of each row is empty and has no header.
    """

    cells: tuple[str, ...]
    width: int
    figures: tuple[int, ...] = ()
    end: str | None = None
    is_unnamed: bool = False


@dataclass
class Passed:
    """What was passed over in reading: repeated headers, and lines below the stated end of the table."""

    headers: int = 0
    below: int = 0
    end_line: int = 0
    joined_lines: list[int] = field(default_factory=list)


def records(found: Iterable[Found], shape: Shape, passed: Passed) -> Iterator[Found]:
    """The rows of records, those that are none with the reason. Empty lines are left out.

    After an empty line the table goes on only where its rows look as before: a title or other headers end it, and
    the header again begins another stretch of it.
    """
    course = _Course(shape, passed)
    for row in found:
        judged = course.judged(row)
        if judged is not None:
            yield judged


def notes(passed: Passed) -> Iterator[str]:
    """What the user should know of the lines that are no records."""
    if passed.headers:
        yield f"passed over: {counted(passed.headers, 'line')} with the header again"
    if passed.below:
        yield f"left out: {counted(passed.below, 'line')} from line {passed.end_line} on, below the end of the table"
    if passed.joined_lines:
        yield f"rows below an empty line were read as rows of the same table, first in line {passed.joined_lines[0]}"


@dataclass
class _Course:
    """Where reading stands. ended: the line before which the table ended, 0 within it."""

    shape: Shape
    passed: Passed
    is_first: bool = True
    has_gap: bool = False
    has_title: bool = False
    ended: int = 0

    def judged(self, row: Found) -> Found | None:
        """The row with the reason where it is none; None where it is passed over."""
        if self.passed.end_line or _is_end(row, self.shape.end, self.is_first):
            return self._below_end(row)
        if row.is_blank or row.is_empty:
            self.has_gap = not self.is_first
            return None if row.is_blank else _checked(row, self.shape, self.is_first)
        if self.shape.cells and _repeats(row, self.shape.cells):
            self.passed.headers += 1
            self.has_gap, self.has_title, self.ended = False, False, 0
            return None
        if self.has_gap and not self.ended and row.fault is None:
            self._judge_below_gap(row)
        checked = _checked(row, self.shape, self.is_first)
        self.is_first = False
        return row._replace(fault=_BELOW.format(self.ended)) if self.ended else checked

    def _below_end(self, row: Found) -> Found | None:
        """Below the stated end of the table, what looks like a record of it is rejected; the rest is passed over."""
        is_the_end = not self.passed.end_line
        self.passed.end_line = self.passed.end_line or row.line
        is_like = not is_the_end and row.fault is None and len(row.cells) == self.shape.width and not row.is_empty
        if is_like and not is_total(row.cells) and not looks_like_headers(row.cells, self.shape.figures):
            return row._replace(fault=_BELOW.format(self.passed.end_line))
        self.passed.below += not row.is_blank
        return None

    def _judge_below_gap(self, row: Found) -> None:
        """Whether the table goes on: a narrower row may be the title of another one, whose headers then follow."""
        figures = self.shape.figures
        if len(row.cells) < self.shape.width:
            self.has_title = True
        elif len(row.cells) == self.shape.width:
            is_other = looks_like_headers(row.cells, figures) or (self.has_title and not figures)
            self.ended = row.line if is_other else 0
            self.passed.joined_lines += [] if is_other or figures else [row.line]
            self.has_gap = self.has_title = False


def _is_end(row: Found, end: str | None, is_first: bool) -> bool:
    if end is None or is_first:
        return False
    if end == EMPTY_LINE:
        return row.is_blank or row.is_empty
    return _first_filled(row.cells) == end


def _repeats(row: Found, headers: Sequence[str]) -> bool:
    return [cell.strip(" ") for cell in row.cells] == [cell.strip(" ") for cell in headers]


def _checked(row: Found, shape: Shape, is_first: bool) -> Found:
    """The row, with the reason where it is no record or its cells cannot be told apart."""
    fault = row.fault or _wrong_width(row, shape)
    if fault is None and is_first and looks_like_headers(row.cells, shape.figures):
        fault = _SECOND_HEADER
    if fault is None and is_total(row.cells):
        fault = _TOTAL
    return row if fault is None else row._replace(fault=fault)


def _wrong_width(row: Found, shape: Shape) -> str | None:
    count, headers = len(row.cells), shape.width - shape.is_unnamed
    if count < shape.width:
        return f"has {count} of {shape.width} cells"
    if count > shape.width or (shape.is_unnamed and row.cells[-1].strip(" ")):
        return f"has {count} cells where the header has {headers}"
    return None


def _first_filled(cells: Sequence[str]) -> str:
    return next((cell.strip() for cell in cells if cell.strip()), "")


def is_total(cells: Sequence[str]) -> bool:
    """Whether the first cell that holds anything is a word for a total."""
    return _first_filled(cells).lower().partition(":")[0].partition("(")[0].strip(" ") in TOTALS
