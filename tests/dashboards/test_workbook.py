from __future__ import annotations

import io
import zipfile
from typing import Any

import openpyxl
import pandas as pd
import pytest

from dashboards import workbook as books
from dashboards.few import without_few
from dashboards.parts import Review
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


def opened(review: Review) -> Any:
    return openpyxl.load_workbook(io.BytesIO(books.workbook(review)))


def definitions(book: Any) -> list[dict[str, str]]:
    rows = list(book[books.DEFINITIONS].iter_rows(values_only=True))
    return [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]


def test_every_cell_comes_back_as_it_went_in() -> None:
    review = small()
    book = opened(review)
    places = {(row["Table"], row["Column"]): (row["Sheet"], row["Header"]) for row in definitions(book)}
    checked = 0
    for name in review.tables:
        table = without_few(review.table(name)).dropna(axis="columns", how="all")
        for column in table.columns:
            sheet, header = places[name, column]
            found = column_of(book[sheet], header)
            assert len(found) == len(table)
            for cell, there in zip(table[column], found, strict=True):
                assert same(cell, there, column), (name, column, cell, there)
                checked += 1
    assert checked > 2_000


def column_of(sheet: Any, header: str) -> list[Any]:
    heads = [cell.value for cell in sheet[1]]
    place = heads.index(header) + 1
    return [sheet.cell(row, place).value for row in range(2, sheet.max_row + 1)]


def same(cell: Any, there: Any, column: str) -> bool:
    if pd.isna(cell):
        return there is None
    kind = columns.quantity(column)
    if kind is Quantity.MONEY:
        return bool(there == pytest.approx(int(cell) / 100, abs=1e-9))
    if kind in (Quantity.DATE, Quantity.INSTANT):
        return bool(pd.Timestamp(there) == cell)
    if kind in (Quantity.FRACTION, Quantity.LENGTH, Quantity.WEIGHT, Quantity.MINUTES, Quantity.NUMBER):
        return bool(there == pytest.approx(cell, rel=1e-15))  # a sheet keeps sixteen figures
    return type(there) in (int, str, bool) and bool(there == cell)


def test_sheets_are_typed_frozen_and_filtered() -> None:
    book = opened(small())
    sheet = book["Shipping margin"]
    assert sheet.freeze_panes == "B2"
    assert sheet.auto_filter.ref.startswith("A1:")
    heads = {cell.value: cell.column for cell in sheet[1]}
    margin, month = sheet.cell(2, heads["Margin (USD)"]), sheet.cell(2, heads["Month"])
    assert margin.data_type == "n"
    assert margin.number_format == '"$"#,##0.00;-"$"#,##0.00'
    assert month.is_date
    assert month.number_format == "mmm yyyy"
    rates = book["Packing method year"]
    place = [cell.value for cell in rates[1]].index("Crude damage rate") + 1
    assert rates.cell(2, place).number_format == "0.0%"


def test_definitions_say_what_the_contracts_say() -> None:
    review = small()
    rows = {(row["Table"], row["Column"]): row for row in definitions(opened(review))}
    known = {name: without_few(table).dropna(axis="columns", how="all") for name, table in review.tables.items()}
    assert set(rows) == {(name, column) for name, table in known.items() if len(table) for column in table.columns}
    row = rows["marts.shipping_margin", "billed_cents"]
    assert row["Meaning"] == TABLES["marts.shipping_margin"].columns["billed_cents"].meaning
    assert row["Unit"] == "USD"
    assert row["One row is"] == "One row per month of shipping."


@pytest.mark.parametrize(
    ("currency", "shape"), [("JPY", '"¥"#,##0;-"¥"#,##0'), ("KWD", '"KWD "#,##0.000;-"KWD "#,##0.000')]
)
def test_amounts_follow_the_currency(currency: str, shape: str) -> None:
    assert books.number_format("margin_cents", Units(currency)) == shape
    sheet = opened(small(currency=currency))["Shipping margin"]
    place = [cell.value for cell in sheet[1]].index(f"Margin ({currency})") + 1
    last = sheet.cell(sheet.max_row, place).value
    digits = {"JPY": 0, "KWD": 3}[currency]
    assert last == pytest.approx(int(shop.tables()["marts.shipping_margin"]["margin_cents"].iloc[-1]) / 10**digits)


def test_no_cell_is_a_formula_whatever_it_begins_with() -> None:
    names = pd.DataFrame({"item_type": [*FORMULAS, *ATTACKS]})
    file = books.workbook(shop.review(tables={"=cmd|' /C calc'!A0": names}))
    sheet = openpyxl.load_workbook(io.BytesIO(file)).worksheets[0]
    kept = [sheet.cell(row, 1) for row in range(2, 2 + len(FORMULAS))]
    assert [cell.value for cell in kept] == list(FORMULAS)
    assert {cell.data_type for cell in kept} == {"s"}
    assert [cell.quotePrefix for cell in kept] == [True] * 6 + [False]
    with zipfile.ZipFile(io.BytesIO(file)) as parts:
        texts = [parts.read(name) for name in parts.namelist() if name.startswith("xl/worksheets/")]
    assert not any(b"<f>" in text or b"<f " in text for text in texts)


def test_sheet_names_are_short_allowed_and_different() -> None:
    tables = [
        "a.shipping_margin",
        "b.shipping_margin",
        "x." + "long" * 20,
        "y." + "long" * 20,
        "z.[]:*?/\\",
        "c.definitions",
    ]
    names = books.sheet_names(tables)
    assert len({name.lower() for name in names.values()}) == len(tables)
    assert books.DEFINITIONS not in names.values()
    assert all(0 < len(name) <= 31 and not set(name) & set("[]:*?/\\") for name in names.values())


def test_headers_are_different_within_a_sheet() -> None:
    heads = books.headers(["some_day_on", "some_day", "margin_cents"], Units("USD"))
    assert heads == ["Some day", "some_day", "Margin (USD)"]


def test_a_table_that_does_not_fit_says_so_and_keeps_the_latest_months(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(books, "MOST_ROWS", 5)
    book = opened(small(month=pd.Timestamp("2026-08-01").date()))
    said = {row["Table"]: row["One row is"] for row in definitions(book)}["marts.shipping_margin"]
    assert "Only 5 of 18 rows" in said
    assert "dunnage export marts.shipping_margin" in said
    months = [cell.value for cell in book["Shipping margin"]["A"][1:]]
    assert [f"{month:%Y-%m}" for month in months] == ["2026-04", "2026-05", "2026-06", "2026-07", "2026-08"]


def test_an_empty_review_is_still_a_workbook() -> None:
    assert opened(shop.review(tables={})).sheetnames == ["Definitions"]
    empty = {name: table.iloc[:0] for name, table in shop.tables().items()}
    assert opened(shop.review(tables=empty)).sheetnames == ["Definitions"], "a sheet without a row says nothing"
