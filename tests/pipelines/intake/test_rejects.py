"""Rejected rows: listed, exported, corrected, sent again, and counted once."""

from __future__ import annotations

import csv
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.errors import NotFoundError
from pipelines.intake import correcting, rejects_export
from pipelines.intake.reading.delimited import _unguarded
from pipelines.intake.reading.tables import Row
from pipelines.shop import warehouse
from pipelines.shop.settings import ColumnSource
from tests.pipelines.intake.small_shop import SKUS, SmallShop, renamed, source
from tests.pipelines.intake.test_formats import workbook
from tests.sampling import tries

HEAD = "Stock no,Kind\n"
OPEN = "select count(*) from rejected.rows where resolved_by is null"
MONTH_END = datetime(2026, 11, 30, 18, 0)


def exported(shop: SmallShop, now: datetime = MONTH_END) -> list[list[str]]:
    """Export, and give the one file's rows."""
    with warehouse.reading(shop.settings) as connection:
        ((path, _),) = rejects_export.export(connection, shop.settings, now)
    with path.open(encoding="utf-8-sig", newline="") as text:
        return list(csv.reader(text, delimiter=shop.sources[0].delimiter))


def mended(shop: SmallShop, rows: list[list[str]], name: str = "rejected-stock-corrected.csv") -> None:
    path = shop.settings.path("inbox") / name
    with path.open("w", encoding="utf-8-sig", newline="") as out:
        csv.writer(out, delimiter=shop.sources[0].delimiter).writerows(rows)


def test_rejected_rows_are_listed_by_file_and_reason(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus-1.csv", HEAD + "A,\nB,tripod\nC,\n,tube\n")
    shop.take_one("skus-2.csv", HEAD + "D\n")
    with warehouse.reading(shop.settings) as connection:
        found = [(each, each.rejection) for each in correcting.reasons(connection, shop.settings)]
    assert [(of.file_name, of.source_name, it.column, it.reason, it.rows, it.first_line) for of, it in found] == [
        ("skus-1.csv", "stock", "item_type", "is missing", 2, 2),
        ("skus-1.csv", "stock", "sku", "is missing", 1, 5),
        ("skus-2.csv", "stock", "(row)", "has 1 of 2 cells", 1, 2),
    ]


def test_an_export_has_the_sources_own_columns(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", "Kind,Note,Stock no\n,x,A\ntube,y,\n")
    assert exported(shop) == [
        ["Stock no", "Kind", "reject_ref", "reason"],
        ["A", "", "1:1", "item_type: is missing"],
        ["", "tube", "1:2", "sku: is missing"],
    ]


def test_a_mended_row_counts_once(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", HEAD + "A,\n,tube\nB,mount\n")
    head, first, second = exported(shop)
    mended(shop, [head, [first[0], "tripod", *first[2:]], ["C", *second[1:]]])
    (delivery,) = shop.import_files("rejected-stock-corrected.csv")
    assert (delivery.accepted_count, delivery.rejected_count, delivery.resolved_count) == (2, 0, 2)
    assert shop.accepted() == [("A", "tripod"), ("B", "mount"), ("C", "tube")]
    assert shop.rows(OPEN) == [(0,)]
    assert shop.rows("select delivery_id, row_number, resolved_by from rejected.rows order by 2") == [
        (1, 1, 2),
        (1, 2, 2),
    ]


def test_a_row_that_is_still_bad_is_open_once(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", HEAD + "A,\n,tube\n")
    head, first, second = exported(shop)
    mended(shop, [head, ["A", "x" * 300, *first[2:]], second])
    (delivery,) = shop.import_files("rejected-stock-corrected.csv")
    assert (delivery.rejected_count, delivery.resolved_count) == (2, 2)
    assert shop.rows(OPEN) == [(2,)]
    assert [row[2:] for row in exported(shop)[1:]] == [
        ["2:1", "item_type: has more than 200 characters"],
        ["2:2", "sku: is missing"],
    ]


def test_part_of_an_export_leaves_the_rest_open(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", HEAD + "A,\n,tube\n")
    head, first, _ = exported(shop)
    mended(shop, [head, ["A", "tripod", *first[2:]]])
    shop.import_files("rejected-stock-corrected.csv")
    assert shop.rejected() == [(2, "sku", "is missing")]


def test_a_whole_new_export_of_the_shop_answers_the_rejection_too(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus-1.csv", HEAD + "A,\nB,\n")
    shop.take_one("skus-2.csv", HEAD + "A,tripod\nB,\n")
    assert shop.rejected() == [(2, "item_type", "is missing")]
    assert shop.rows("select delivery_id from rejected.rows where resolved_by is null") == [(2,)]


def test_a_row_whose_cells_could_not_be_told_apart_is_not_landed_unmended(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", HEAD + "A,tripod,x\n")
    head, row = exported(shop)
    assert head == ["Stock no", "Kind", "(row)", "reject_ref", "reason"]
    assert row[:3] == ["", "", "A,tripod,x"]
    mended(shop, [head, row])
    (delivery,) = shop.import_files("rejected-stock-corrected.csv")
    assert (delivery.row_count, shop.accepted(), shop.rows(OPEN)) == (0, [], [(1,)])
    mended(shop, [head, ["A", "tripod", *row[2:]]])
    shop.import_files("rejected-stock-corrected.csv")
    assert (shop.accepted(), shop.rows(OPEN)) == ([("A", "tripod")], [(0,)])


def test_a_row_number_stays_that_of_the_first_file(tmp_path: Path) -> None:
    columns: dict[str, str | ColumnSource] = {
        "sale_id": "Nr",
        "line_number": ColumnSource(row=True),
        "sold_at": "Paid",
        "item_type": ColumnSource(value="tripod"),
        **dict.fromkeys(("quantity", "item_price_cents", "shipping_charged_cents"), "One"),
    }
    shop = SmallShop(tmp_path, [source("stock", "sales", "sales*", columns)])
    shop.take_one("sales.csv", "Nr,Paid,One\nS,2026-10-01,1\nS,2026-10-32,1\n")
    head, row = exported(shop)
    mended(shop, [head, ["S", "2026-10-31", *row[2:]]])
    shop.import_files("rejected-stock-corrected.csv")
    assert shop.rows("select line_number from accepted.sales order by 1") == [(1,), (2,)]


def test_exports_keep_the_sources_marks_and_come_back_from_a_workbook(tmp_path: Path) -> None:
    sides = {"inside_length_in": "L", "inside_width_in": "B", "inside_height_in": "H"}
    boxes: dict[str, str | ColumnSource] = {"carton_code": "Box", "effective_from": "Since"}
    boxes |= {name: ColumnSource(header, unit="in") for name, header in sides.items()}
    cartons = source("stock", "cartons", "cartons*", {**boxes, "unit_cost_cents": "Price"}, format="xlsx", decimal=",")
    shop = SmallShop(tmp_path, [cartons])
    header = ("Box", "Since", "L", "B", "H", "Price")
    shop.take_one("cartons.xlsx", workbook((header, ("C-1", "2026-01-01", 47.125, "7,5", 7.5, "free"))))
    head, row = exported(shop)
    assert row[:6] == ["C-1", "2026-01-01", "47,125", "7,5", "7,5", "free"]
    mended(shop, [head, [*row[:5], "2,85", *row[6:]]])
    shop.import_files("rejected-stock-corrected.csv")
    assert shop.rows("select inside_length_in, unit_cost_cents from accepted.cartons") == [(47.125, 285)]


def test_a_spreadsheet_may_save_an_export_in_the_sources_encoding(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [renamed(SKUS, delimiter=";", encoding="cp1252")])
    shop.take_one("skus.csv", "Stock no;Kind\nÄ1;\n".encode("cp1252"))
    head, row = exported(shop)
    text = "\n".join(";".join(cells) for cells in (head, [row[0], "Röhre", *row[2:]]))
    shop.put("rejected-stock-x.csv", text.encode("cp1252"))
    shop.import_files("rejected-stock-x.csv")
    assert shop.accepted() == [("Ä1", "Röhre")]


@pytest.mark.parametrize("cell", ["=1+1", "+SUM(A1)", "-x", "@cmd", "'=1", "''+x"])
def test_cells_are_guarded_against_being_taken_for_formulas_and_come_back_whole(tmp_path: Path, cell: str) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", f"{HEAD}{cell},\n")
    head, row = exported(shop)
    assert row[0] == f"'{cell}"
    mended(shop, [head, [row[0], "tripod", *row[2:]]])
    shop.import_files("rejected-stock-corrected.csv")
    assert shop.accepted() == [(cell, "tripod")]


@given(st.text(st.sampled_from("'=+-@\ta1."), max_size=8))
@settings(derandomize=True, deadline=None, max_examples=tries(300))
def test_guarding_is_taken_off_again(cell: str) -> None:
    guarded = rejects_export.guarded(cell)
    assert _unguarded(Row([guarded])).cells == [cell] or guarded == cell
    assert guarded[:1] not in {"=", "@", "\t"}


def test_signed_numbers_are_left_as_they_are() -> None:
    assert [rejects_export.guarded(cell) for cell in ("-18.50", "+3", "-1.024,50", "-x")] == [
        "-18.50",
        "+3",
        "-1.024,50",
        "'-x",
    ]


def test_nothing_to_export_is_said(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", HEAD + "A,tripod\n")
    with warehouse.reading(shop.settings) as connection, pytest.raises(NotFoundError):
        rejects_export.export(connection, shop.settings, MONTH_END)
