"""The structure of a text file, found by the width that most of its rows have: marks, header, end of the table."""

import io
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice

from models.settings.reading_limits import DEFAULTS
from models.settings.text_files import EMPTY_LINE, stated_structure
from models.visible import counted
from pipelines.intake.reading.headers import columns_of_figures, has_empty_end, looks_like_headers, usual_width
from pipelines.intake.reading.line_cells import QUOTE, Marks
from pipelines.intake.reading.lines import Found, Lines, rows
from pipelines.intake.reading.shape import Passed, Shape, is_total, records
from pipelines.shop.settings import Source

_DELIMITERS = (",", ";", "\t", "|")
_ROWS = 300
_MOST_HEADER_ROWS = 3


def structure_of(text: str, source: Source, *, is_whole: bool) -> Source:
    """The source with what its first characters show of the structure. is_whole: they are the whole file."""
    marks = max(_candidates(text), key=lambda each: _evenness(_found(text, each, source)))
    found = [row for row in _found(text, marks, source) if not row.is_empty or row.is_blank]
    quote = None if marks.quote == QUOTE else marks.quote
    source = replace(source, delimiter=marks.delimiter, quote=quote, escape=marks.escape)
    if not any(row.fault is None and not row.is_blank for row in found):
        return source
    source, below = _with_header(source, found)
    return _with_end(source, below) if is_whole and len(found) < _ROWS else source


def _candidates(text: str) -> Iterator[Marks]:
    """Delimiters with the quotes that the text allows; the usual ones first, since the first of equals is taken."""
    for single in _DELIMITERS:
        count, doubled = text.count(single), text.count(single * 2)
        delimiter = single * 2 if doubled and doubled * 2 == count else single
        marks = Marks(delimiter)
        if QUOTE in text and not re.search(rf'(?:^|{re.escape(delimiter)}) *"', text, re.MULTILINE):
            marks = replace(marks, quote="")
        yield marks
        if '\\"' in text:
            yield replace(marks, quote=QUOTE, escape="\\")
        if QUOTE not in text and "'" in text and re.search(rf"(?:^|{re.escape(delimiter)}) *'", text, re.MULTILINE):
            yield replace(marks, quote="'")


def _found(text: str, marks: Marks, source: Source) -> list[Found]:
    lines = Lines(io.StringIO(text, newline=""), "", DEFAULTS.longest_line)
    return list(islice(rows(lines, marks, None), _ROWS))


def _evenness(found: Sequence[Found]) -> float:
    """How well marks split: the columns of most rows, times the share of rows that have as many.

    The first of these should be headers: a decimal comma splits figures alone.
    """
    filled = [row for row in found if not row.is_blank]
    width = usual_width(filled)
    even = [row.cells for row in filled if len(row.cells) == width]
    words = sum(bool(re.search(r"[^\W\d]", cell)) for cell in even[0]) if even else 0
    return (width - 1) * len(even) / len(filled) * words / width if even else 0.0


def _with_header(source: Source, found: Sequence[Found]) -> tuple[Source, list[Found]]:
    """The header is the first row of the usual width; or the row above, where that is one cell short."""
    filled = [row for row in found if not row.is_blank]
    width = usual_width(filled)
    wide = [at for at, row in enumerate(filled) if len(row.cells) == width and row.fault is None]
    at = next((at for at in wide if not _is_padded_title(filled[at], filled)), wide[0])
    above = filled[at - 1] if at else None
    is_short = above is not None and _is_short_header(above, filled[at:], width)
    if above is not None and is_short and not has_empty_end(width - 1, filled[at:]):
        return replace(source, header=False, skip=above.line), _from(found, filled[at])
    head = filled[at - is_short]
    skip = head.line - 1 if head is not filled[0] else 0
    count = _header_rows(_from(found, head), width)
    below = [row for row in found if row.line > head.line][count - 1 :]
    return replace(source, skip=skip, header_rows=count), below


def _is_padded_title(row: Found, found: Sequence[Found]) -> bool:
    """Whether the row is a title that a spreadsheet has padded with delimiters: one cell, or a few with figures."""
    known = [_filled(each) for each in found if each.fault is None]
    few = _filled(row) * 2 < Counter(known).most_common(1)[0][0]
    return few and (_filled(row) == 1 or any(re.search(r"\d", cell) for cell in row.cells))


def _filled(row: Found) -> int:
    return sum(bool(cell.strip()) for cell in row.cells)


def _is_short_header(above: Found, below: Sequence[Found], width: int) -> bool:
    """Whether the row above those of the usual width names all columns but one, and they begin with a record."""
    is_above = above.fault is None and above.last_line + 1 == below[0].line
    is_filled = len(above.cells) == width - 1 and all(above.cells)
    return is_above and is_filled and not looks_like_headers(below[0].cells, columns_of_figures(below, width))


def _from(found: Sequence[Found], first: Found) -> list[Found]:
    return [row for row in found if row.line >= first.line]


def _header_rows(found: Sequence[Found], width: int) -> int:
    """Rows of headers, of which the first is known: those with words where the rows below have figures."""
    for count in range(1, _MOST_HEADER_ROWS):
        below = found[count:]
        if not below or not looks_like_headers(below[0].cells, columns_of_figures(below, width)):
            return count
    return _MOST_HEADER_ROWS


def _with_end(source: Source, found: Sequence[Found]) -> Source:
    """What stands below the last row of records: after an empty line, or a total."""
    width = usual_width(found)
    shape = Shape((), width, columns_of_figures(found, width))
    good = [row.line for row in records(found, shape, Passed()) if row.fault is None]
    last = max(good, default=0)
    gaps = [row.line for row in found if row.is_blank]
    rest = [row for row in found if row.line > last and not row.is_blank]
    if not good or not rest:
        return source
    if any(last < gap < rest[0].line for gap in gaps) and min(gaps) > last:
        return replace(source, end_of_table=EMPTY_LINE)
    if is_total(rest[0].cells):
        return replace(source, end_of_table=next(cell.strip() for cell in rest[0].cells if cell.strip()))
    return source


def structure_notes(source: Source) -> Iterator[str]:
    """What the user should check of the structure that was found."""
    if source.skip and source.header:
        yield f"Left out: {counted(source.skip, 'line')} above the header."
    if not source.header:
        yield f"The header in line {source.skip} has one cell less than the rows, so columns are named by place."
    if source.header_rows > 1:
        yield f"The headers stand in {source.header_rows} rows."
    if source.end_of_table is not None:
        yield f"The table ends before {source.end_of_table!r}; what stands below is left out."
    if source.quote is not None or source.escape:
        yield f"Quotes: {', '.join(f'{name} = {mark!r}' for name, mark in stated_structure(source).items())}."
