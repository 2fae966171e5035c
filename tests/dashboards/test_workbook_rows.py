"""What a workbook adds up, which rows stand first, which days are marked; no name of a program in a cell."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import pandas as pd
import pytest

from dashboards import workbook as books
from dashboards.sections import all_sections
from dashboards.workbook_file import headers
from dashboards.workbook_tables import Block
from models import columns, money
from models.fields import Quantity
from models.shop_units import Units
from models.tables import TABLES
from tests.dashboards import shop
from tests.dashboards.test_deadlines import LAST
from tests.dashboards.test_deadlines import tables as dated
from tests.dashboards.test_workbook import found, heads_and_rows, opened, same, whole


def test_sums_are_formulas_over_the_rows_shown_with_their_value() -> None:
    review, formulas, values = whole(), opened(), opened(data_only=True)
    summed = {name: place for name, place in found(formulas).items() if place[1].totalsRowCount}
    counts = {}
    for name, (sheet, table) in summed.items():
        known = list(review.table(name).columns)
        heads = dict(zip(headers(known, review.units), known, strict=True))
        end = [cell for cell in sheet[table.ref][-1] if cell.data_type == "f"]
        added = {heads[_head(sheet, table, cell)] for cell in end}
        assert TABLES[name].made_from.sums in added  # type: ignore[union-attr]
        for cell in end:
            assert cell.value.startswith(f"=SUBTOTAL(109,{table.name}["), "without its name not every program finds it"
            total = review.table(name)[heads[_head(sheet, table, cell)]].sum() / 100
            assert values[sheet.title][cell.coordinate].value == pytest.approx(total)
        counts[name] = len(end)
    assert counts["marts.shipping_margin"] > 10
    assert 1 in counts.values(), "amounts that are no kind of money of parcels stand alone"


def test_the_sums_of_a_month_lead_to_the_sum_of_its_margin() -> None:
    """A reader may check it: what was charged, less each cost, is what was left."""
    sheet, table = found(opened(data_only=True))["marts.shipping_margin"]
    summed = {_head(sheet, table, cell): cell.value for cell in sheet[table.ref][-1] if isinstance(cell.value, float)}
    names = {headers([f"{kind.name}_cents"], Units("USD"))[0]: kind for kind in money.MONEY}
    assert {head for head in names if head in heads_and_rows(sheet, table)[0]} <= set(summed)
    left = sum(kind.sign * summed.get(head, 0.0) for head, kind in names.items())
    assert left == pytest.approx(summed["Margin (USD)"], abs=0.005)


def test_rows_of_the_same_parcels_are_not_added_up() -> None:
    """A year that ends each month, and a rule for each of several services."""
    tables = {table.name for _, table in found(opened(shop.review())).values() if table.totalsRowCount}
    years = {name.replace(".", "_") for name, each in TABLES.items() if each.made_from and each.made_from.is_year}
    assert years and not tables & (years | {"analysis_service_rules"})
    rows = pd.DataFrame({"item_type": ["tripod"] * 2, "expected_cents": [500, 500]})
    assert Block("", "analysis.service_rules", rows).sums == [] != Block("", "marts.unused_labels", _labels()).sums


def _labels() -> pd.DataFrame:
    return pd.DataFrame({"parcel_id": ["A", "B"], "quoted_cents": [500, 700]})


def test_what_the_page_shows_of_a_table_stands_first_in_its_order() -> None:
    review = shop.review()
    places = found(opened(review))
    moved = 0
    for section in all_sections():
        for part in section.parts[:1]:
            table = review.table(part.table)
            chosen = part.choose(review, table) if section.chapter and part.table in places and len(table) else table
            if chosen is table or ("shipped_month" in table and table["shipped_month"].is_unique):
                continue
            key = TABLES[part.table].key[-1]
            heads, rows = heads_and_rows(*places[part.table])
            at = heads.index(headers([*table.columns], review.units)[list(table.columns).index(key)])
            if len(chosen) and not _is_a_series(part.table):
                assert same(chosen[key].iloc[0], rows[0][at].value, key), part.table
                moved += list(chosen.index) != list(table.index[: len(chosen)])
    assert moved > 3


def _is_a_series(table: str) -> bool:
    key = TABLES[table].key
    return len(key) == 1 and columns.quantity(key[0]) in (Quantity.COUNT, Quantity.DATE)


@pytest.mark.parametrize(("made_on", "is_marked"), [(13, False), (14, True)])
def test_deadlines_that_passed_say_so_and_stay_days(made_on: int, is_marked: bool) -> None:
    """A dispute, a claim and an action, all by 13 November, on the cover."""
    made_at = dt.datetime(2026, 11, made_on, 9, tzinfo=dt.UTC)
    cover = opened(shop.review(tables={**shop.tables(), **dated()}, made_at=made_at))[books.MONTH]
    days = [cell for row in cover.iter_rows() for cell in row if cell.value == dt.datetime.combine(LAST, dt.time())]
    assert len(days) == 3
    for cell in days:
        assert cell.is_date and ("overdue" in cell.number_format) is is_marked
        assert cover.column_dimensions[cell.column_letter].width >= len("2026-11-13, overdue")


def test_no_name_of_a_table_is_in_a_cell() -> None:
    """But in what is to be typed: `dunnage export marts.returns FILE`, `dunnage trace analysis.actions`."""
    cells = [str(cell.value) for sheet in opened(shop.review()) for row in sheet.iter_rows() for cell in row]
    assert [
        text for text in cells if re.search(r"(?<!export )(?<!trace )\b(?:marts|analysis|core)\.[a-z_]+", text)
    ] == []


def test_no_title_of_a_section_is_too_long_for_a_sheet() -> None:
    titles = [section.title for section in all_sections() if section.chapter and section.parts]
    assert [title for title in titles if len(title) > books.LONGEST_NAME] == []


def _head(sheet: Any, table: Any, cell: Any) -> str:
    return str(sheet[table.ref][0][cell.column - 1].value)
