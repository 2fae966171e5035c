from __future__ import annotations

import io
import re
import zipfile
from functools import cache
from typing import Any

import openpyxl
import pandas as pd
import pytest

from dashboards import workbook as books
from dashboards.chapters import CHAPTERS
from dashboards.review_tables import Review
from dashboards.sections import all_sections
from dashboards.small_shares import without_few
from dashboards.workbook_file import headers, number_format
from dashboards.workbook_tables import MEANINGS, SUM
from models import columns
from models.fields import Quantity
from models.shop_units import Units
from models.tables import TABLES
from tests.dashboards import shop
from tests.dashboards.test_hostile_cells import ATTACKS

FORMULAS = ("=1+1", "+1", "-1+2", "@SUM(A1)", '=HYPERLINK("http://example.invalid")', "\t=1", "plain")


def small(**more: Any) -> Review:
    few = {name: table.tail(30) for name, table in shop.tables().items()}
    return shop.review(**{"tables": few, **more})


@cache
def whole() -> Review:
    return small()


@cache
def written() -> bytes:
    return books.workbook(whole())


def opened(review: Review | None = None, **how: Any) -> Any:
    """The workbook of the review, of the shop's where none is named."""
    return openpyxl.load_workbook(io.BytesIO(books.workbook(review) if review else written()), **how)


def found(book: Any) -> dict[str, tuple[Any, Any]]:
    """The sheet and the table of the library of each table of the warehouse, as the contents name them."""
    rows = list(book[books.CONTENTS].iter_rows(min_row=5, values_only=True))
    tables = [(sheet, table) for sheet in book.worksheets for table in sheet.tables.values()]
    assert [row[0] for row in rows] == [sheet.title for sheet, _ in tables]
    return {row[4].split()[2]: place for row, place in zip(rows, tables, strict=True)}


def heads_and_rows(sheet: Any, table: Any) -> tuple[list[str], list[list[Any]]]:
    cells = list(sheet[table.ref])
    last = -1 if table.totalsRowCount else None
    return [cell.value for cell in cells[0]], [list(row) for row in cells[1:last]]


def test_every_cell_comes_back_as_it_went_in() -> None:
    review = whole()
    in_order = {block.table: block.rows for each in books.sheets_of(review).values() for block in each}
    checked = 0
    for name, place in found(opened()).items():
        table = in_order[name]
        heads, rows = heads_and_rows(*place)
        held = without_few(review.table(name)).dropna(axis="columns", how="all")
        assert set(held.columns) - set(table.columns) <= {"evidence"}
        pd.testing.assert_frame_equal(table.sort_index(), held[table.columns])
        assert (len(heads), len(rows)) == (len(table.columns), len(table))
        for at, column in enumerate(table.columns):
            for cell, there in zip(table[column], rows, strict=True):
                assert same(cell, there[at].value, column), (name, column, cell, there[at].value)
                checked += 1
    assert checked > 2_000


def test_every_table_of_the_page_has_its_place_in_the_order_of_the_page() -> None:
    review, book = whole(), opened()
    places = found(book)
    chapters = [chapter.name for chapter in CHAPTERS]
    shown = sorted((each for each in all_sections() if each.chapter), key=lambda each: chapters.index(each.chapter))
    asked = [part.table for section in shown for part in section.parts if len(review.table(part.table))]
    replaced = {part.table for section in shown if review.has(section.replaced_by or "none") for part in section.parts}
    assert [name for name in dict.fromkeys(asked) if name in places] == list(places)
    assert set(asked) - set(places) <= replaced
    assert book.sheetnames[:2] == [books.MONTH, books.CONTENTS]
    assert len(book.sheetnames) <= 25


def test_a_whole_review_has_at_most_25_sheets() -> None:
    assert sum(bool(section.chapter and section.parts) for section in all_sections()) + 2 <= 25


def test_contents_lead_to_each_table() -> None:
    book = opened()
    for row in book[books.CONTENTS].iter_rows(min_row=5):
        sheet, cell = row[0].hyperlink.location.split("!")
        assert book[sheet.strip("'")][cell].value == row[1].value


def same(cell: Any, there: Any, column: str) -> bool:
    if pd.isna(cell):
        return there is None
    kind = columns.quantity(column)
    if kind is Quantity.MONEY:
        return bool(there == pytest.approx(int(cell) / 100, abs=1e-9))
    if kind is Quantity.FLAG:
        return bool(there == ("yes" if cell else "no"))
    if kind in (Quantity.DATE, Quantity.INSTANT):
        return bool(pd.Timestamp(there) == cell)
    if kind in (Quantity.FRACTION, Quantity.LENGTH, Quantity.WEIGHT, Quantity.MINUTES, Quantity.NUMBER):
        return bool(there == pytest.approx(cell, rel=1e-15))  # a sheet keeps sixteen figures
    return type(there) in (int, str, bool) and bool(there == cell)


def test_tables_are_typed_and_filtered() -> None:
    places = found(opened())
    heads, rows = heads_and_rows(*places["marts.shipping_margin"])
    margin, month = rows[0][heads.index("Margin (USD)")], rows[0][heads.index("Month")]
    assert margin.data_type == "n"
    assert margin.number_format == '"$"#,##0.00;-"$"#,##0.00'
    assert month.is_date
    assert month.number_format == "mmm yyyy"
    heads, rows = heads_and_rows(*places["marts.packing_method_year"])
    assert rows[0][heads.index("Crude damage rate")].number_format == "[>=0.995]0.0%;[>=0.0995]0%;0.0%"
    assert all(table.autoFilter.ref.split(":")[0] == table.ref.split(":")[0] for _, table in places.values())


def test_zeros_of_wide_tables_are_shown_as_dashes_and_stay_numbers() -> None:
    """The same rule as on the page (dashboards/blank_cells.py)."""
    heads, rows = heads_and_rows(*found(opened())["marts.shipping_margin"])
    cell = rows[0][heads.index("Tax (USD)")]
    assert cell.value == 0
    assert cell.number_format.endswith(';"–"')
    assert not rows[0][heads.index("Billed by carriers (USD)")].number_format.endswith(';"–"')


def test_no_text_is_cut() -> None:
    """Texts are wrapped in their cell, or stand alone in their row and run on."""
    for sheet in opened().worksheets[2:]:
        tables = [table.ref for table in sheet.tables.values()]
        for ref in tables:
            for row in sheet[ref]:
                texts = [cell for cell in row if cell.data_type == "s" and cell.number_format == "General"]
                assert all(cell.alignment.wrap_text or _is_total(cell) for cell in texts), sheet.title


def _is_total(cell: Any) -> bool:
    return bool(cell.value == SUM)


def test_the_cover_adds_up_the_waterfall() -> None:
    formulas, values = (opened(data_only=kept)[books.MONTH] for kept in (False, True))
    ((cell,),) = ([each for row in formulas.iter_rows() for each in row if each.data_type == "f"],)
    first, last = (int(part[1:]) for part in cell.value.removeprefix("=SUM(").rstrip(")").split(":"))
    assert last == cell.row - 1
    steps = [values.cell(row, cell.column).value for row in range(first, last + 1)]
    assert values[cell.coordinate].value == pytest.approx(sum(steps), abs=1e-9)
    assert "October 2026" in formulas["A1"].value


def test_what_columns_mean_stands_below_their_table() -> None:
    places = found(opened())
    for name, (sheet, table) in places.items():
        heads, _ = heads_and_rows(sheet, table)
        below = sheet[table.ref][-1][0].row + 2
        assert sheet.cell(below, 1).value == MEANINGS
        said = {sheet.cell(below + at, 1).value: sheet.cell(below + at, 2).value for at in range(1, len(heads) + 1)}
        assert list(said) == heads
        if name == "marts.shipping_margin":
            assert said["Billed by carriers (USD)"] == TABLES[name].columns["billed_cents"].meaning


@pytest.mark.parametrize(
    ("currency", "shape"), [("JPY", '"¥"#,##0;-"¥"#,##0'), ("KWD", '"KWD "#,##0.000;-"KWD "#,##0.000')]
)
def test_amounts_follow_the_currency(currency: str, shape: str) -> None:
    assert number_format("margin_cents", Units(currency)) == shape
    heads, rows = heads_and_rows(*found(opened(small(currency=currency)))["marts.shipping_margin"])
    last = rows[-1][heads.index(f"Margin ({currency})")].value
    digits = {"JPY": 0, "KWD": 3}[currency]
    assert last == pytest.approx(int(shop.tables()["marts.shipping_margin"]["margin_cents"].iloc[-1]) / 10**digits)


def test_no_cell_of_a_record_is_a_formula_whatever_it_begins_with() -> None:
    costs = shop.tables()["marts.item_type_costs"].tail(len(FORMULAS) + len(ATTACKS))
    names = [*FORMULAS, *ATTACKS][: len(costs)]
    one_month = costs.assign(item_type=names, shipped_month=costs["shipped_month"].iloc[-1])
    file = books.workbook(shop.review(tables={"marts.item_type_costs": one_month}, shop_name="=1+1"))
    book = openpyxl.load_workbook(io.BytesIO(file))
    heads, rows = heads_and_rows(*found(book)["marts.item_type_costs"])
    kept = {row[heads.index("Item type")].value: row[heads.index("Item type")] for row in rows}
    assert set(FORMULAS) <= set(kept)
    assert {cell.data_type for cell in kept.values()} == {"s"}
    assert [kept[text].quotePrefix for text in FORMULAS] == [True] * 6 + [False]
    with zipfile.ZipFile(io.BytesIO(file)) as parts:
        texts = [parts.read(name) for name in parts.namelist() if name.startswith("xl/worksheets/")]
    written = [each for text in texts for each in re.findall(rb"<f[ >].*?</f>", text)]
    assert {each[:16] for each in written} == {b"<f>SUBTOTAL(109,"}


def test_sheet_names_are_short_allowed_and_different() -> None:
    titles = ["Shipping margin", "long " * 20, "long " * 21, "z.[]:*?/\\", "Month", "x" * 40]
    names = books.sheet_names(titles)
    assert len({name.lower() for name in names.values()}) == len(titles)
    assert not {books.MONTH, books.CONTENTS} & set(names.values())
    assert all(0 < len(name) <= 31 and not set(name) & set("[]:*?/\\") for name in names.values())
    cut = ["Patterns, and insuring or carrying it yourself", "Margin by channel, service and zone"]
    assert list(books.sheet_names(cut).values()) == ["Patterns, and insuring", "Margin by channel, service"]


def test_headers_are_different_within_a_sheet() -> None:
    heads = headers(["some_day_on", "some_day", "margin_cents"], Units("USD"))
    assert heads == ["Some day", "some_day", "Margin (USD)"]


def test_a_table_that_does_not_fit_says_so_and_keeps_the_latest_months(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(books, "MOST_ROWS", 5)
    sheet, table = found(opened(small(month=pd.Timestamp("2026-08-01").date())))["marts.shipping_margin"]
    _, rows = heads_and_rows(sheet, table)
    said = sheet.cell(rows[0][0].row - 2, 1).value
    assert "Only 5 of 18 rows" in said
    assert "dunnage export marts.shipping_margin" in said
    assert not table.totalsRowCount, "a sum of some rows is none of the table"
    assert [f"{row[0].value:%Y-%m}" for row in rows] == ["2026-04", "2026-05", "2026-06", "2026-07", "2026-08"]


def test_an_empty_review_is_still_a_workbook() -> None:
    assert opened(shop.review(tables={})).sheetnames == [books.MONTH, books.CONTENTS]
    empty = {name: table.iloc[:0] for name, table in shop.tables().items()}
    assert opened(shop.review(tables=empty)).sheetnames == [books.MONTH, books.CONTENTS], "no sheet is empty"
