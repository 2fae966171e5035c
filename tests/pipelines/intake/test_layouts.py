"""How a file may be laid out: headers, blank rows, quoted line breaks, several members, formulas."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

from tests.pipelines.intake.small_shop import SKUS, SmallShop, renamed, source
from tests.pipelines.intake.test_formats import workbook


def test_headers_are_matched_in_any_case_and_spacing(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", " STOCK   NO ,kind\nA,tripod\n")
    assert shop.accepted() == [("A", "tripod")]


def test_repeated_headers_are_numbered(tmp_path: Path) -> None:
    assert "has no column 'Kind'" in SmallShop(tmp_path).refused("skus.csv", "Stock no,Kind,Kind\nA,x,y\n")
    second = source("stock", "skus", "skus*", {"sku": "Stock no", "item_type": "Kind (2)"})
    shop = SmallShop(tmp_path, [second])
    shop.take_one("skus.csv", "Stock no,Kind,Kind\nA,x,y\n")
    assert shop.accepted() == [("A", "y")]


def test_a_header_alone_is_no_rows(tmp_path: Path) -> None:
    for more, content in (({}, "Stock no,Kind\n"), ({"format": "xlsx"}, workbook((("Stock no", "Kind"),)))):
        shop = SmallShop(tmp_path / str(len(more)), [renamed(SKUS, **more)])
        delivery = shop.take_one("skus", content)
        assert delivery.row_count == 0 and delivery.notes == ("holds a header and no rows",)
        assert delivery.delivery_id == 1


def test_a_file_without_header(tmp_path: Path) -> None:
    bare = source("stock", "skus", "skus*", {"sku": "2", "item_type": "1"}, header=False)
    shop = SmallShop(tmp_path, [bare])
    shop.take_one("skus.csv", "tripod,A\nmount,B\n")
    assert shop.accepted() == [("A", "tripod"), ("B", "mount")]


def test_blank_rows_are_passed_over_and_numbered(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    delivery = shop.take_one("skus.csv", "Stock no,Kind\nA,tripod\n,\n\nB,\n")
    assert delivery.row_count == 2 and "passed over: 1 blank row" in delivery.notes
    assert shop.rows("select row_number, line_number, column_name from rejected.rows") == [(3, 5, "item_type")]


def test_quoted_line_breaks_keep_a_row_together(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", 'Stock no,Kind,Note\nA,tripod,"one\ntwo"\nB,,\n')
    assert shop.accepted() == [("A", "tripod")]
    assert shop.rows("select row_number, line_number from rejected.rows") == [(2, 4)]


def test_several_members_of_a_zip_file_are_several_deliveries(tmp_path: Path) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.writestr("a/skus-1.csv", "Stock no,Kind\nA,tripod\n")
        packed.writestr("a/skus-2.csv", "Stock no,Kind\nB,tripod\n")
    shop = SmallShop(tmp_path)
    shop.put("all.zip", out.getvalue())
    assert [delivery.file_name for delivery in shop.import_files()] == ["all.zip/skus-1.csv", "all.zip/skus-2.csv"]
    assert len(shop.accepted()) == 2
    shop.put("skus-1.csv", "Stock no,Kind\nA,tripod\n")
    assert all(delivery.is_known for delivery in shop.import_files())


def test_spreadsheet_formulas_count_as_their_stored_value(tmp_path: Path) -> None:
    content = workbook((("Stock no", "Kind"), ("A", "=1+1"), ("B", "tripod")))
    shop = SmallShop(tmp_path, [renamed(SKUS, format="xlsx")])
    delivery = shop.take_one("skus.xlsx", content)
    assert (delivery.accepted_count, delivery.rejected_count) == (1, 1)
    ((_, column, reason),) = shop.rejected()
    assert (column, reason) == (
        "Kind",
        "is a formula without a stored value; open and save the workbook, or write the value",
    )
    # What a spreadsheet program stores with the formula is read.
    stored = _with_stored_value(content, "<f>1+1</f><v></v>", "<f>1+1</f><v>2</v>")
    other = SmallShop(tmp_path / "other", [renamed(SKUS, format="xlsx")])
    assert other.take_one("skus.xlsx", stored).accepted_count == 2
    assert ("A", "2") in other.accepted()


def _with_stored_value(content: bytes, old: str, new: str) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as packed, zipfile.ZipFile(out, "w") as written:
        for name in packed.namelist():
            text = packed.read(name)
            if name.startswith("xl/worksheets/"):
                changed = text.decode().replace("<f>1+1</f><v />", new).replace(old, new)
                assert changed != text.decode()
                text = changed.encode()
            written.writestr(name, text)
    return out.getvalue()


def test_spreadsheet_errors_are_rejected(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [renamed(SKUS, format="xlsx")])
    shop.take_one("skus.xlsx", workbook((("Stock no", "Kind"), ("A", "#N/A"))))
    assert shop.rejected() == [(1, "Kind", "is a spreadsheet error, #N/A")]
