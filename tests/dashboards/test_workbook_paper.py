"""The workbook as it is opened and printed: read by a second library, texts broken by a third."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from functools import cache
from typing import Any

import pandas as pd
import pytest
from openpyxl.utils.cell import range_boundaries

from dashboards import workbook as books
from dashboards import workbook_file as written
from dashboards import workbook_tables
from dashboards.workbook_paper import LETTER_WIDE, MOST_RUNNING, PAGE_HIGH, PAGE_WIDE, PAPER_WIDE, column_spans
from dashboards.workbook_tables import MEANINGS
from models.shop_units import Units
from tests.dashboards import shop
from tests.dashboards.test_workbook import found, opened

ROW = 15.0  # points of a row whose height nobody states
LONG = (
    "a very long name that nobody would give to goods, but for the sake of four or five lines of a narrow column, " * 2
)


@cache
def shown() -> Any:
    """The whole shop, some of its names far too long for a line."""
    tables = shop.tables()
    costs = tables["marts.item_type_costs"]
    tables["marts.item_type_costs"] = costs.assign(item_type=costs["item_type"].where(costs.index % 3 > 0, LONG))
    return opened(shop.review(tables=tables))


def widths(sheet: Any) -> dict[int, float]:
    stated = [each for each in sheet.column_dimensions.values() if each.width]
    return {place: each.width for each in stated for place in range(each.min, each.max + 1)}


def areas(sheet: Any) -> list[tuple[int, int, int, int]]:
    """First column and row, last column and row of each area that is printed."""
    return [range_boundaries(area) for area in re.findall(r"!([A-Z]+\d+:[A-Z]+\d+)", sheet.print_area.replace("$", ""))]


def area_wide(sheet: Any, area: tuple[int, int, int, int]) -> float:
    """Letters beside each other on the page of that area, the first column among them."""
    wide = widths(sheet)
    return (wide[1] if area[0] > 1 else 0.0) + sum(wide[place] for place in range(area[0], area[2] + 1))


def high(sheet: Any, first: int, last: int) -> float:
    return sum(sheet.row_dimensions[row].height or ROW for row in range(first, last + 1))


def texts(sheet: Any) -> Iterator[tuple[Any, float]]:
    """Each wrapped text with the letters beside each other in its cell, or in the cells that are joined to it."""
    wide = widths(sheet)
    joined = {area.start_cell.coordinate: area for area in sheet.merged_cells.ranges}
    for row in sheet.iter_rows():
        for cell in row:
            if isinstance(cell.value, str) and cell.alignment.wrap_text:
                last = joined[cell.coordinate].max_col if cell.coordinate in joined else cell.column
                yield cell, sum(wide.get(place, 8.43) for place in range(cell.column, last + 1))


def test_rows_are_as_high_as_their_wrapped_texts() -> None:
    several = 0
    for sheet in shown().worksheets:
        for cell, wide in texts(sheet):
            lines = len(textwrap.wrap(cell.value, int(wide - 1)))
            several += lines > 1
            assert (sheet.row_dimensions[cell.row].height or ROW) >= ROW * lines, (sheet.title, cell.coordinate)
    assert several > 20


def test_causes_on_the_cover_stand_in_rows_that_hold_them() -> None:
    cover = shown()[books.MONTH]
    ((first,),) = ([cell.row for (cell,) in cover.iter_rows(max_col=1) if cell.value == "Why"],)
    causes = [cover.cell(row, 1) for row in range(first + 2, first + 5) if cover.cell(row, 1).value]
    assert causes and all(cell.alignment.wrap_text and cell.alignment.vertical == "top" for cell in causes)
    room = int(widths(cover)[1] - 1)
    for cell in causes:
        assert (cover.row_dimensions[cell.row].height or ROW) >= ROW * len(textwrap.wrap(cell.value, room))


def test_cells_of_a_row_stand_at_its_top() -> None:
    book = shown()
    rows = list(book[books.CONTENTS].iter_rows(min_row=5))
    rows += [row for sheet in book.worksheets[2:] for table in sheet.tables.values() for row in sheet[table.ref][1:-1]]
    cells = [cell for row in rows for cell in row if cell.value is not None]
    assert len(cells) > 2_000
    assert {cell.alignment.vertical for cell in cells} == {"top"}


def test_each_sheet_is_printed_one_page_wide_on_its_side_and_the_cover_on_one_page() -> None:
    cover, *others = shown().worksheets
    assert all(sheet.sheet_properties.pageSetUpPr.fitToPage for sheet in (cover, *others))
    assert (cover.page_setup.orientation, cover.page_setup.fitToHeight) == ("portrait", None)
    assert {(sheet.page_setup.orientation, sheet.page_setup.fitToHeight) for sheet in others} == {("landscape", 0)}
    assert {sheet.page_setup.fitToWidth for sheet in others} == {None}, "one, where nothing is stated"
    assert {sheet.page_setup.paperSize for sheet in (cover, *others)} == {9}
    assert all("October 2026" in sheet.oddHeader.left.text for sheet in others)


def test_printed_columns_can_be_read_and_what_is_left_out_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a table that would take too many pages beside each other the columns of the page are printed."""
    assert columns_left_out(shown()) == 0
    monkeypatch.setattr(workbook_tables, "MOST_ACROSS", 1)
    assert columns_left_out(opened(shop.review())) > 3


def columns_left_out(book: Any) -> int:
    """Of how many tables some columns are not printed."""
    split, left_out = 0, 0
    for sheet in book.worksheets[2:]:
        for table in sheet.tables.values():
            first, top, last, _ = range_boundaries(table.ref)
            own = [area for area in areas(sheet) if area[1] in (top, top - 1, top - 2)]
            printed = [place for area in own for place in range(area[0], area[2] + 1)]
            assert printed == list(range(first, first + len(printed)))
            is_cut = len(printed) < last + 1 - first
            reported = f"Set to print: the first {len(printed)} column" in (sheet.cell(top - 1, 1).value or "")
            assert reported == is_cut
            assert max(area_wide(sheet, area) for area in own) <= PAPER_WIDE + 15, "a little is added to each column"
            split, left_out = split + (len(own) > 1), left_out + is_cut
        assert bool(sheet.print_title_cols) == any(area[0] > 1 for area in areas(sheet))
    assert split
    return left_out


def test_what_the_page_shows_stands_first_and_the_actions_are_on_two_pages() -> None:
    sheet, table = found(shown())["analysis.actions"]
    assert sheet[table.ref][0][0].value == "What to do"
    assert len(areas(sheet)) <= 2


def test_a_head_is_repeated_where_no_other_table_could_stand_below_it() -> None:
    counts = set()
    for sheet in shown().worksheets[2:]:
        tops = [range_boundaries(table.ref)[1] for table in sheet.tables.values()]
        counts.add(len(tops) == 1)
        assert sheet.print_title_rows == (f"${tops[0]}:${tops[0]}" if len(tops) == 1 else None), sheet.title
        if len(tops) > 1:
            for area in areas(sheet):
                page = PAGE_HIGH * max(1.0, LETTER_WIDE * area_wide(sheet, area) / PAGE_WIDE)
                assert high(sheet, area[1], area[3]) <= page, (sheet.title, area)
    assert counts == {True, False}
    assert shown()[books.CONTENTS].print_title_rows == "$4:$4"


def test_rows_that_are_not_printed_are_said_and_nothing_else_is() -> None:
    cut = 0
    for sheet, table in found(shown()).values():
        _, top, _, bottom = range_boundaries(table.ref)
        (area,) = [area for area in areas(sheet) if area[0] == 1 and top - 2 <= area[1] <= top]
        rows = bottom - top - bool(table.totalsRowCount)
        printed = min(area[3] - top, rows)
        said = sheet.cell(top - 1, 1).value or ""
        assert (f"Set to print: the first {printed} row" in said) == (printed < rows), (sheet.title, said)
        assert bool(re.search("Set to print: the first [0-9,]+ row", said)) == (printed < rows)
        assert printed <= MOST_RUNNING or len(sheet.tables) > 1 or printed == rows
        assert MEANINGS not in [sheet.cell(row, 1).value for row in range(area[1], area[3] + 1)]
        cut += printed < rows
    assert cut


def test_columns_are_parted_where_the_type_would_be_too_small() -> None:
    assert column_spans([24.0]) == [(0, 0)]
    assert column_spans([24.0, *[19.0] * 10]) == [(0, 10)]
    assert column_spans([24.0, *[20.0] * 11]) == [(0, 6), (7, 11)]
    assert column_spans([300.0, 300.0]) == [(0, 0), (1, 1)], "a column is never parted"


@pytest.mark.parametrize(
    ("text", "wide", "lines"),
    [("", 10, 1), ("two words", 9, 1), ("two words", 8, 2), ("x" * 20, 10, 2), ("x" * 21, 10, 3), ("a\nb", 10, 2)],
)
def test_lines_of_a_text_are_counted(text: str, wide: float, lines: int) -> None:
    assert written.line_count(text, wide) == lines


def test_the_month_reviewed_stands_first_where_a_month_has_several_rows() -> None:
    rows = pd.DataFrame({"shipped_month": pd.to_datetime([f"2026-0{month}-01" for month in (7, 7, 8, 8, 9)])})
    review = shop.review(tables={}, month=pd.Timestamp("2026-08-01").date())
    assert list(books.ordered(rows.assign(place=range(5)), review)["place"]) == [2, 3, 0, 1, 4]
    series = rows.drop_duplicates()
    assert list(books.ordered(series, review).index) == list(series.index)
    assert list(books.ordered(rows.drop(columns="shipped_month"), review).index) == [0, 1, 2, 3, 4]


def test_no_head_is_a_name_of_a_program() -> None:
    """Two columns of one label are told apart by what their names say."""
    heads = written.headers(["low_cents", "damage_to_come_low_cents", "completed_low_cents"], Units("USD"))
    assert len(set(heads)) == 3 and not any("_" in head for head in heads)
    cells = [cell.value for sheet, table in found(shown()).values() for cell in sheet[table.ref][0]]
    assert not [head for head in cells if "_" in head]
