"""Twenty layouts of messy files, each after a published description.

[B] K. W. Broman, K. H. Woo: Data organization in spreadsheets. The American Statistician 72(1), 2018.
[D] T. Doehmen, H. Muehleisen, P. Boncz: Multi-hypothesis CSV parsing. SSDBM 2017.
[G] Government Statistical Service: Releasing statistics in spreadsheets: good practice guidance, 2014.
[J] L. Jiang, G. Vitagliano, F. Naumann: Structure detection in verbose CSV files. EDBT 2021. Lines are metadata,
    headers, groups, data, derived values or notes.
[M] J. Mitloehner, S. Neumaier, J. Umbrich, A. Polleres: Characteristics of open data CSV files. OBD 2016. Comment
    lines, several header rows, several tables in a file.
[N] National Center for Education Statistics: Statistical standards, 2002, appendix C. The boxhead is repeated on each
    page, notes stand below.
[P] G. Vitagliano, M. Hameed, L. Jiang, L. Reisener, E. Wu, F. Naumann: Pollock: a data loading benchmark. PVLDB 16,
    2023. Preambles, footers, several header rows, odd delimiters and quotes.
[S] Statistical offices of the German Laender: Explanation of symbols. "-", ".", "x", "..." in the place of numbers.
[V] G. van den Burg, A. Nazabal, C. Sutton: Wrangling messy CSV files by detecting row and type patterns. Data Mining
    and Knowledge Discovery 33, 2019. Dialects of every kind.
[W] J. Tennison, G. Kellogg: Model for tabular data and metadata on the web. W3C, 2015. Titles and notes around tables,
    several header rows, skipped columns.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tests.strangers.exports import Export, Grid, in_decimal_commas, without_last


@dataclass(frozen=True)
class Page:
    """A grid, and how it is written: in a workbook with typed cells, or as text."""

    grid: Grid
    export: Export
    delimiter: str = ","
    is_workbook: bool = False
    quotes_all: bool = False
    mark: str = ""
    end: str = "\n"


def _page(export: Export, above: Grid, below: Grid | None = None, *, is_workbook: bool = False) -> Page:
    cells = export.cells if is_workbook else export.texts()
    return Page([*above, list(export.headers), *cells, *(below or [])], export, is_workbook=is_workbook)


def title_and_blank(export: Export) -> Page:
    """[P] A preamble of one line and a blank one."""
    return _page(export, [["Records of October 2026"], []])


def pairs_above(export: Export) -> Page:
    """[J] Metadata above the table, as names and values."""
    pairs: Grid = [["Account", "4711"], ["Period", "2026-10"], ["Currency", "USD"], ["Made on", "2026-11-02 08:15"], []]
    return _page(export, pairs)


def long_preamble(export: Export) -> Page:
    """[V] A letterhead of a dozen lines, some blank."""
    above: Grid = [
        ["NORTHLINE"],
        ["Your parcels"],
        [],
        ["Customer", "Fernmoor Goods"],
        ["Page", "1 of 1"],
        [],
        ["All amounts without tax"],
        [],
    ]
    return _page(export, [*above, ["Details"], []])


def notes_below(export: Export) -> Page:
    """[J] [G] Notes below the table, after a blank line."""
    return _page(export, [], [[], ["1) Without tax."], ["Source: the carrier's own records."]])


def title_and_notes(export: Export) -> Page:
    """[W] Title above and notes below, in a workbook."""
    return _page(export, [["Table 1: records of October 2026"], []], [[], ["Note: provisional."]], is_workbook=True)


def groups_above_names(export: Export) -> Page:
    """[M] [B] Two header rows: merged groups, then the names."""
    wide = len(export.headers)
    return _page(export, [["Document", *[""] * 2, "Contents", *[""] * (wide - 4)]])


def groups_in_workbook(export: Export) -> Page:
    """[B] Merged group cells above the names, in a workbook."""
    return _page(export, [["Document", None, None, "Contents"]], is_workbook=True)


def units_below_names(export: Export) -> Page:
    """[B] A second header row that holds units."""
    units = ["cm" if "(cm)" in name else "lb" if "(lb)" in name else "" for name in export.headers]
    page = _page(export, [])
    return Page([page.grid[0], units, *page.grid[1:]], export)


def totals_below(export: Export) -> Page:
    """[J] A derived line: the sums, its name in the first column."""
    sums: list[object] = ["Total", *[""] * (len(export.headers) - 1)]
    sums[5] = f"{sum(cells[5] for cells in export.cells):.2f}"
    return _page(export, [], [sums])


def groups_between(export: Export) -> Page:
    """[J] Group lines that lead each section of the table."""
    half, cells = len(export.cells) // 2, export.texts()
    return Page([list(export.headers), ["First half"], *cells[:half], ["Second half"], *cells[half:]], export)


def blank_rows_and_columns(export: Export) -> Page:
    """[G] [B] Blank rows among the rows and an empty first column, in a workbook."""
    rows: Grid = [[None, *export.headers]]
    for at, cells in enumerate(export.cells):
        rows += [[None, *cells], *([[]] if at % 4 == 3 else [])]
    return Page([[], [], *rows], export, is_workbook=True)


def second_table(export: Export) -> Page:
    """[M] A second, smaller table below."""
    return _page(export, [], [[], ["Zone", "Parcels"], ["2", "14"], ["5", "3"]])


def repeated_header(export: Export) -> Page:
    """[N] The header again at the head of each page."""
    half, cells = len(export.cells) // 2, export.texts()
    head = list(export.headers)
    return Page([head, *cells[:half], head, *cells[half:]], export)


def comment_lines(export: Export) -> Page:
    """[M] Comment lines that begin with a number sign."""
    return _page(export, [["# exported by a nightly job"], ["# columns may change"]])


def decimal_commas(export: Export) -> Page:
    """[D] [P] Semicolons and decimal commas, below a title."""
    grid = [["Oktober 2026"], list(export.headers), *export.texts(in_decimal_commas)]
    return Page(grid, export, delimiter=";")


def tabs_and_title(export: Export) -> Page:
    """[V] Tabs, every cell in quotes, a byte order mark, line ends of another system."""
    page = _page(export, [["Records"]])
    return Page(page.grid, export, delimiter="\t", quotes_all=True, mark="\ufeff", end="\r\n")


def padded(export: Export) -> Page:
    """[P] Title and notes padded with separators to the width of the widest row, as spreadsheets export them."""
    wide = len(export.headers) + 2
    page = _page(export, [["Records of October 2026"], []], [[], ["End of report"]])
    return Page([[*row, *[""] * (wide - len(row))] for row in page.grid], export)


def named_delimiter(export: Export) -> Page:
    """[V] A first line that names the delimiter."""
    page = _page(export, [["sep=;"]])
    return Page(page.grid, export, delimiter=";")


def symbols_for_missing(export: Export) -> Page:
    """[S] Symbols where a number is missing: none of them may become a number."""
    page = _page(without_last(export, (2, 7), "a symbol stands for a number"), [["Records"], []])
    page.grid[3 + 2][-1], page.grid[3 + 7][-1] = "x", "..."
    return page


def unnamed_index(export: Export) -> Page:
    """[V] [W] A first column of row numbers without a name, and line breaks within header cells."""
    names = [name.replace(" (", "\n(") for name in export.headers]
    rows = [[str(at), *cells] for at, cells in enumerate(export.texts(), 1)]
    return Page([["", *names], *rows], export)


LAYOUTS: tuple[Callable[[Export], Page], ...] = (
    title_and_blank,
    pairs_above,
    long_preamble,
    notes_below,
    title_and_notes,
    groups_above_names,
    groups_in_workbook,
    units_below_names,
    totals_below,
    groups_between,
    blank_rows_and_columns,
    second_table,
    repeated_header,
    comment_lines,
    decimal_commas,
    tabs_and_title,
    padded,
    named_delimiter,
    symbols_for_missing,
    unnamed_index,
)
