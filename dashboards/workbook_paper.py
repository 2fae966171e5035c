"""The workbook on paper: A4, one page wide, each table from a page of its own on, and no head that stands over another
table's rows.

A record table of a thousand rows is searched on the screen; on paper it is a stack that nobody reads. So a table prints
as many rows as one page holds. One that is alone on its sheet may run on, since a sheet can repeat one head only.
Columns that would make the type too small to read follow on pages of their own, beside the first column. Rows that are
left out are said above the table; what its columns mean is for the screen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from xlsxwriter.utility import quote_sheetname, xl_range_abs
from xlsxwriter.worksheet import Worksheet

from dashboards.book import Book

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


@dataclass(frozen=True)
class Paper:
    """How much of a sheet's tables is printed. scale: of the sheet's width to the page's, one where it fits."""

    scale: float
    is_running: bool

    def room(self, heights: Sequence[float], above: float) -> int:
        """How many rows of those heights are printed below a title and a head that take `above`; points."""
        if self.is_running:
            return min(len(heights), MOST_RUNNING)
        left = PAGE_HIGH * MARGIN / self.scale - above
        for at, high in enumerate(heights):
            left -= high
            if left < 0:
                return max(at, 1)
        return len(heights)


def paper(tables: Sequence[Sequence[float]]) -> Paper:
    """The paper of a sheet whose tables have columns of those widths."""
    widest = max(
        sum(widths[first : last + 1]) + (widths[0] if first else 0.0)
        for widths in tables
        for first, last in column_spans(widths)
    )
    return Paper(min(1.0, PAGE_WIDE / (LETTER_WIDE * widest)), len(tables) == 1)


def column_spans(widths: Sequence[float]) -> list[tuple[int, int]]:
    """First and last column of each page beside another; all but the first page have the first column before them."""
    spans, first, wide = [], 0, widths[0]
    for at, each in enumerate(widths[1:], start=1):
        if wide + each > PAPER_WIDE and at > first:
            spans.append((first, at - 1))
            first, wide = at, widths[0]
        wide += each
    return [*spans, (first, len(widths) - 1)]


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
