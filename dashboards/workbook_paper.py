"""The workbook on paper: A4, one page wide, each table from a page of its own on, and no head that stands over another
table's rows.

A record table of a thousand rows is searched on the screen; on paper it is a stack that nobody reads. So a table prints
as many rows as one page holds. One that is alone on its sheet may run on, since a sheet can repeat one head only: to
sixty rows where it has no more, else for as many whole pages.
Columns that would make the type too small to read follow on pages of their own, beside the first column. Rows that are
left out are said above the table; what its columns mean is for the screen.
"""

from collections.abc import Sequence
from itertools import accumulate

from xlsxwriter.utility import quote_sheetname, xl_range_abs
from xlsxwriter.worksheet import Worksheet

from dashboards.workbook_file import Book

A4 = 9
# Inches, and points that are left between them on A4 that lies on its side.
SIDE, ABOVE, BELOW = 0.3, 0.5, 0.6
PAGE_WIDE, PAGE_HIGH = 798.0, 515.0
LETTER_WIDE = 5.25  # points of a column's unit of width, in the workbook's own type
MARGIN = 0.93  # of the page's height: programs differ in how high a row is
PAPER_WIDE = 215.0  # letters beside each other: 7.8 points of the workbook's 11
MOST_RUNNING = 60  # rows of a table alone on its sheet
LONGEST_TITLE = 120  # letters of the line above each page, of the 255 that the format allows
# Rows and columns of an area, each the first and the last.
Area = tuple[int, int, int, int]


def printed_count(heights: Sequence[float], above: float, widths: Sequence[float], *, is_alone: bool) -> int:
    """How many rows of those heights are printed below a title and a head that take `above`, all points.

    widths: of the table's columns. is_alone: whether it has its sheet to itself.
    """
    if is_alone and len(heights) <= MOST_RUNNING:
        return len(heights)
    # Some programs scale each page by its own columns, so the page of the fewest has the largest type.
    narrowest = min(_wide(widths, span) for span in column_spans(widths))
    room = PAGE_HIGH * MARGIN * max(1.0, LETTER_WIDE * narrowest / PAGE_WIDE) - above
    count = _rows_within(room, heights)
    # Of what is cut anyway whole pages are printed: no last page of three rows.
    while is_alone and count + (more := _rows_within(room, heights[count:])) <= MOST_RUNNING:
        count += more
    return min(count, MOST_RUNNING)


def _rows_within(room: float, heights: Sequence[float]) -> int:
    """How many rows a page holds: one at least."""
    return max(sum(end <= room for end in accumulate(heights)), 1)


def column_spans(widths: Sequence[float]) -> list[tuple[int, int]]:
    """First and last column of each page beside another, as few as can be read and of much the same width; all but the
    first page have the first column before them."""
    fewest = len(_spans(widths, PAPER_WIDE))
    even = sum(widths) / fewest
    return next(
        spans
        for limit in (*accumulate([5.0] * int(max(PAPER_WIDE - even, 0.0) // 5), initial=even), PAPER_WIDE)
        if len(spans := _spans(widths, limit)) == fewest
    )


def _spans(widths: Sequence[float], limit: float) -> list[tuple[int, int]]:
    spans, first, wide = [], 0, widths[0]
    for at, each in enumerate(widths[1:], start=1):
        if wide + each > limit:
            spans.append((first, at - 1))
            first, wide = at, widths[0]
        wide += each
    return [*spans, (first, len(widths) - 1)]


def _wide(widths: Sequence[float], span: tuple[int, int]) -> float:
    first, last = span
    return sum(widths[first : last + 1]) + (widths[0] if first else 0.0)


def set_areas(book: Book, sheet: Worksheet, areas: Sequence[Area]) -> None:
    """Print these areas of the sheet and nothing else, each from a new page on; the library itself knows only one."""
    if any(first_column for _, first_column, _, _ in areas):
        sheet.repeat_columns(0)
    name = quote_sheetname(sheet.get_name())
    said = ",".join(f"{name}!{xl_range_abs(*area)}" for area in areas)
    book.file.define_name(f"{name}!_xlnm.Print_Area", f"={said}")


def set_page(sheet: Worksheet, title: str, *, is_upright: bool = False) -> None:
    """One page wide, on its side or upright on a single page; title and sheet above, the page's number below."""
    if is_upright:
        sheet.set_portrait()
    else:
        sheet.set_landscape()
    sheet.set_paper(A4)
    sheet.set_margins(SIDE, SIDE, ABOVE, BELOW)
    sheet.fit_to_pages(1, 1 if is_upright else 0)
    sheet.set_header("" if is_upright else f"&L{title[:LONGEST_TITLE].replace('&', '&&')}", {"margin": 0.2})
    sheet.set_footer("&L&A&RPage &P of &N", {"margin": 0.25})
