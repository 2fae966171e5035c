"""Names are records too: a file's name, a header, a shop's folder are never a pattern, a partition or an identifier."""

from __future__ import annotations

import hashlib
import io
import json
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from pipelines.intake import replaying
from pipelines.intake.reading.tables import unique_headers
from pipelines.shop import warehouse
from tests.pipelines.intake.small_shop import SKUS, SmallShop, renamed, source
from tests.pipelines.intake.test_formats import workbook

NUMBERED = "Stock no,Kind\n{0}1,tripod\n{0}2,tube\n"
ODD_FOLDERS = ["a [1]*", "what {a,b} 'q' \"d\"", "größe=1 長い", "c0=7", "~"]


@pytest.mark.parametrize("name", ["invoice[1].csv", "invoice*.csv", "invoice?.csv", "invoice'1.csv", "~invoice=2.csv"])
def test_a_file_is_read_whatever_other_file_its_name_would_match(tmp_path: Path, name: str) -> None:
    shop = SmallShop(tmp_path, [renamed(SKUS, files="*.csv")])
    shop.take_one("invoice1.csv", NUMBERED.format("A"))
    assert shop.take_one(name, NUMBERED.format("B")).accepted_count == 2
    assert [row[0] for row in shop.accepted()] == ["A1", "A2", "B1", "B2"]


def parquet_of(columns: dict[str, list[Any]]) -> bytes:
    out = io.BytesIO()
    names = list(columns)
    pq.write_table(pa.Table.from_arrays([pa.array(columns[name]) for name in names], names), out)
    return out.getvalue()


def test_a_parquet_file_is_read_whatever_its_name_would_match(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [renamed(SKUS, files="*.parquet", format="parquet")])
    for name, sku in (("p1.parquet", "A"), ("p[1].parquet", "B"), ("sku=7.parquet", "C")):
        shop.take_one(name, parquet_of({"Stock no": [sku], "Kind": ["tripod"]}))
    assert [row[0] for row in shop.accepted()] == ["A", "B", "C"]


@pytest.mark.parametrize("folder", ODD_FOLDERS)
def test_a_shop_may_lie_in_any_folder(tmp_path: Path, folder: str) -> None:
    # A neighbour that a pattern in the folder's name would match as well.
    decoy = SmallShop(tmp_path / folder.replace("[1]", "1").replace("*", "x"))
    decoy.take_one("skus.csv", NUMBERED.format("D"))
    packed = renamed(SKUS, name="packed", files="*.parquet", format="parquet")
    shop = SmallShop(tmp_path / folder, [renamed(SKUS, files="*.csv"), packed])
    shop.take_one("skus-1.csv", NUMBERED.format("A") + "B,\n")
    shop.take_one("skus.parquet", parquet_of({"Stock no": ["P"], "Kind": ["mount"]}))
    assert {row[0] for row in shop.accepted()} - {"D1", "D2"} == {"A1", "A2", "P"}
    assert [row[1] for row in shop.rejected()] == ["item_type"]
    assert replaying.compare(shop.settings)["differing_count"].sum() == 0


# Two headers that differ in case or blanks only; the map names one, and the other holds what must not come in.
TWINS = [("kind", "Kind"), ("Kind", "kind"), ("Kind ", "Kind"), ("KIND", "Kind")]


@pytest.mark.parametrize("form", ["jsonl", "json", "parquet", "csv", "xlsx"])
@pytest.mark.parametrize(("first", "second"), TWINS)
def test_headers_that_differ_in_case_or_blanks_only_stay_apart(
    tmp_path: Path, form: str, first: str, second: str
) -> None:
    headers = ("Stock no", first, second)
    rows = [("A", "one", "two"), ("B", "three", "four")]
    reported = [dict(zip(headers, row, strict=True)) for row in rows]
    content: dict[str, bytes] = {
        "jsonl": "\n".join(map(json.dumps, reported)).encode(),
        "json": json.dumps(reported).encode(),
        "parquet": parquet_of({name: [row[at] for row in rows] for at, name in enumerate(headers)}),
        "csv": "".join(",".join(row) + "\n" for row in (headers, *rows)).encode(),
        "xlsx": workbook((headers, *rows)),
    }
    mapped = source("stock", "skus", "skus*", {"sku": "Stock no", "item_type": second}, format=form)
    shop = SmallShop(tmp_path, [mapped])
    shop.put("skus", content[form])
    (delivery,) = shop.import_files("skus")
    if delivery.error is not None:  # blanks at the end of a header count for nothing in these formats: one name twice
        assert first.strip() == second.strip() and "has no column" in str(delivery.error)
        return
    assert shop.accepted() == [("A", "two"), ("B", "four")]


def test_twins_are_both_kept_when_both_are_mapped(tmp_path: Path) -> None:
    both = source("stock", "skus", "skus*", {"sku": "Code", "item_type": "code"}, format="jsonl")
    shop = SmallShop(tmp_path, [both])
    shop.take_one("skus", '{"Code": "A", "code": "tripod"}\n{"code": "", "Code": "B"}\n')
    assert shop.accepted() == [("A", "tripod")]
    assert shop.rows("select source_text from rejected.rows") == [('{"Code":"B","code":null}',)]
    assert replaying.compare(shop.settings)["differing_count"].sum() == 0


def test_numbered_headers_meet_no_header_of_the_file() -> None:
    assert unique_headers(["Price", "Price", "Price (1)", "", "(4)"]) == (
        "Price (2)",
        "Price (3)",
        "Price (1)",
        "(4) (1)",
        "(4)",
    )
    assert unique_headers(["a b", "a  b", "", ""]) == ("a b (1)", "a b (2)", "(3)", "(4)")


def test_an_archive_whose_columns_have_their_headers_names_is_replayed(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", "Stock no,Kind\nA,tripod\nB,\n")
    (archived,) = (tmp_path / "archive").glob("*.parquet")
    (entry,) = (tmp_path / "archive").glob("delivery-*.json")
    said = json.loads(entry.read_text())
    # As it was written before November 2026: columns under the headers themselves, and none listed in the entry.
    rows = pq.read_table(archived)
    pq.write_table(rows.rename_columns(said.pop("headers") + rows.column_names[2:]), archived)
    said["file_hash"] = hashlib.sha256(archived.read_bytes()).hexdigest()
    entry.write_text(json.dumps(said))
    hashes = "update intake.archived set entry_hash = ?"
    with warehouse.writing(shop.settings, "test") as connection:
        connection.execute(hashes, [hashlib.sha256(entry.read_bytes()).hexdigest()])
    assert replaying.compare(shop.settings)["differing_count"].sum() == 0
