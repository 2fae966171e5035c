"""Malformed files and cells: a clear error or rejected rows, never a traceback, and nothing else is harmed."""

from __future__ import annotations

import gzip
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from models.settings.reading_limits import Limits
from pipelines.shop.settings import ColumnSource
from tests.pipelines.intake.small_shop import SKUS, SmallShop, renamed, source
from tests.pipelines.intake.test_formats import parquet, workbook, zipped

GOOD = "Stock no,Kind\nA,tripod\n"
SIDES = {"inside_length_in": "L", "inside_width_in": "B", "inside_height_in": "H"}
BOXES: dict[str, str | ColumnSource] = {"carton_code": "Box", "effective_from": "Since"}
BOXES |= {name: ColumnSource(header, unit="in") for name, header in SIDES.items()}
CARTONS = source("boxes", "cartons", "*", {**BOXES, "unit_cost_cents": "Price"})


def bomb() -> bytes:
    return zipped("skus.csv", b"0" * 2_000_000)


def locked() -> bytes:
    """A zip file whose member says it is encrypted."""
    content = bytearray(zipped("skus.csv", GOOD.encode()))
    for mark in (b"PK\x03\x04", b"PK\x01\x02"):
        content[content.index(mark) + (6 if mark.endswith(b"\x04") else 8)] |= 1
    return bytes(content)


REFUSED: list[tuple[str, dict[str, Any], str, Callable[[], bytes], str]] = [
    ("empty", {}, "skus.csv", lambda: b"", "no header"),
    ("blank lines only", {}, "skus.csv", lambda: b"\n\n\n", "no header"),
    ("zero bytes only", {}, "skus.csv", lambda: b"\0" * 100, "has no column"),
    ("other columns", {}, "skus.csv", lambda: b"a,b\n1,2\n", "has no column 'Stock no', 'Kind'"),
    ("other delimiter", {}, "skus.csv", lambda: GOOD.replace(",", ";").encode(), "has no column"),
    ("not UTF-8", {}, "skus.csv", lambda: b"Stock no,Kind\nA,x\nB,\xfc\n", "byte 20 (line 3) is not utf-8"),
    ("utf-16 unannounced", {}, "skus.csv", lambda: GOOD.encode("utf-16"), 'encoding = "utf-16"'),
    (
        "half a utf-16 character",
        {"encoding": "utf-16"},
        "skus.csv",
        lambda: GOOD.encode("utf-16")[:-1],
        "is not utf-16",
    ),
    ("unknown encoding", {"encoding": "utf-99"}, "skus.csv", GOOD.encode, "'utf-99' is not known"),
    ("no text encoding", {"encoding": "hex"}, "skus.csv", GOOD.encode, "'hex' is not known"),
    (
        "half a character",
        {"encoding": "unicode_escape"},
        "skus.csv",
        lambda: b"Stock no,Kind\nA,\\ud83d\n",
        "holds half a character",
    ),
    ("long delimiter", {"delimiter": "|||||"}, "skus.csv", GOOD.encode, "not one to four characters"),
    ("long quote", {"quote": "''"}, "skus.csv", GOOD.encode, "not one character of its own"),
    ("quoted header without end", {}, "skus.csv", lambda: b'Stock no,"Kind\nA,x\n', "line 1, where the header should"),
    ("long line", {}, "skus.csv", lambda: GOOD.encode() + b"x" * 33_000_000, "a line of more than 32 MB"),
    ("long header", {}, "skus.csv", lambda: b"Stock no,Kind," + b"x" * 5_001 + b"\n", "a header of 5,001 characters"),
    ("many columns", {}, "skus.csv", lambda: b"Stock no,Kind" + b"," * 5_000, "has 5,002 columns, more than 5,000"),
    ("damaged gzip", {}, "skus.csv.gz", lambda: gzip.compress(GOOD.encode())[:-9], "cannot be opened"),
    ("no gzip", {}, "skus.csv.gz", GOOD.encode, "cannot be opened"),
    ("no zip", {}, "skus.zip", GOOD.encode, "damaged zip"),
    ("damaged zip", {}, "skus.zip", lambda: zipped("skus.csv", GOOD.encode())[:-30], "damaged zip"),
    ("locked zip", {}, "skus.zip", locked, "encrypted"),
    ("no workbook", {"format": "xlsx"}, "skus.xlsx", GOOD.encode, "no XLSX workbook"),
    ("empty workbook", {"format": "xlsx"}, "skus.xlsx", lambda: workbook(()), "no header"),
    ("cut workbook", {"format": "xlsx"}, "skus.xlsx", lambda: workbook()[:2_000], "no XLSX workbook"),
    ("a zip file of text", {"format": "xlsx"}, "skus.xlsx", lambda: zipped("a.csv", b"a"), "no XLSX workbook"),
    ("no such sheet", {"format": "xlsx", "sheet": "Log"}, "skus.xlsx", workbook, "has no sheet 'Log'; it has Sheet"),
    ("no Parquet", {"format": "parquet"}, "skus.parquet", GOOD.encode, "no Parquet file"),
    ("cut Parquet", {"format": "parquet"}, "skus.parquet", lambda: parquet()[:-40], "no Parquet file"),
    ("other Parquet", {"format": "parquet"}, "skus.parquet", parquet, "has no column"),
    ("no JSON", {"format": "json"}, "skus.json", GOOD.encode, "no JSON"),
    ("a JSON number", {"format": "json"}, "skus.json", lambda: b"5", "neither a list"),
    ("deep JSON", {"format": "json"}, "skus.json", lambda: b"[" * 200_000, "nested too deeply"),
    ("JSON with NaN", {"format": "json"}, "skus.json", lambda: b'[{"Stock no": NaN}]', "NaN is no number"),
    ("JSON Lines of numbers", {"format": "jsonl"}, "skus.jsonl", lambda: b"1\n2\n", "holds no JSON object"),
    ("JSON not in UTF-8", {"format": "jsonl"}, "skus.jsonl", lambda: b'{"Stock no": "\xff"}', "is not utf-8"),
    ("JSON of other keys", {"format": "jsonl"}, "skus.jsonl", lambda: b'{"a": 1}', "has no column"),
]


@pytest.mark.parametrize(
    ("more", "name", "content", "words"), [one[1:] for one in REFUSED], ids=[one[0] for one in REFUSED]
)
def test_a_file_that_cannot_be_read_is_refused_and_harms_no_other(
    tmp_path: Path, more: dict[str, Any], name: str, content: Callable[[], bytes], words: str
) -> None:
    other = source("other", "skus", "good.csv", {"sku": "Stock no", "item_type": "Kind"})
    shop = SmallShop(tmp_path, [renamed(SKUS, **more), other])
    shop.put(name, content())
    shop.put("good.csv", GOOD)
    landed = {delivery.file_name: delivery for delivery in shop.import_files()}
    assert landed.pop("good.csv").accepted_count == 1
    (refused,) = landed.values()
    assert refused.error is not None and words in str(refused.error)
    assert shop.accepted() == [("A", "tripod")]
    assert shop.rows("select file_name from intake.deliveries") == [("good.csv",)]
    assert not (tmp_path / ".intake").exists()


def test_a_file_that_unpacks_beyond_reason_is_refused(tmp_path: Path) -> None:
    small = Limits(free_unpacked_mb=1)
    shop = SmallShop(tmp_path, limits=small)
    assert "unpacks to more than" in shop.refused("skus.zip", bomb())
    assert "unpacks to more than" in shop.refused("skus.csv.gz", gzip.compress(b"0" * 2_000_000))
    book = SmallShop(tmp_path / "book", [renamed(SKUS, format="xlsx")], limits=small)
    assert "unpacks to" in book.refused("skus.xlsx", zipped("xl/worksheets/sheet1.xml", b"0" * 2_000_000))


def test_an_unreadable_or_missing_file_is_named(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    (missing,) = shop.import_files("skus-9.csv")
    assert missing.error is not None and "is not there" in str(missing.error)
    shop.put("notes.txt", "buy tape")
    (unmatched,) = shop.import_files()
    assert unmatched.error is None and "matches the `files` of no source" in unmatched.notes[0]
    (asked,) = shop.import_files("notes.txt")
    assert asked.error is not None


@pytest.mark.parametrize(
    ("column", "said", "words"),
    [
        ("item_type", None, "lacks item_type"),
        ("item_type", ColumnSource("Kind", unit="cm"), "'cm' is not a unit of text"),
        ("item_type", ColumnSource("Kind", decimal=";"), "neither . nor ,"),
        ("item_type", ColumnSource("Buyer name"), "seems to hold names"),
    ],
)
def test_a_column_map_that_cannot_work_is_refused(
    tmp_path: Path, column: str, said: ColumnSource | None, words: str
) -> None:
    columns = {**SKUS.columns, column: said}
    mapped = {name: one for name, one in columns.items() if one is not None}
    shop = SmallShop(tmp_path, [renamed(SKUS, columns=mapped)])
    assert words in shop.refused("skus.csv", "Stock no,Kind,Buyer name\nA,x,y\n")


def test_a_constant_or_row_number_that_cannot_be_read_is_refused(tmp_path: Path) -> None:
    for said, words in (
        (ColumnSource(value="five"), "'five' is not an amount"),
        (ColumnSource(row=True), "is no money"),
    ):
        boxes = renamed(CARTONS, columns={**CARTONS.columns, "unit_cost_cents": said})
        shop = SmallShop(tmp_path, [boxes])
        assert words in shop.refused("c.csv", "Box,Since,L,B,H,Price\nC,2026-01-01,9,8,7,1\n")


ROWS: list[tuple[str, str, str]] = [
    ("A", "(row)", "has 1 of 2 cells"),
    ("A,b,c", "(row)", "has 3 cells where the header has 2"),
    ('"A"b,c', "(row)", "has text after a closing quote"),
    (",tripod", "sku", "is missing"),
    ("A,", "item_type", "is missing"),
    ("A," + "x" * 201, "item_type", "has more than 200 characters"),
    ("A," + "x" * 10_000_000, "Kind", "has 10,000,000 characters, more than 100,000; only the first are shown"),
    ("A,x\0y", "item_type", "holds a control character"),
    ('A,"x\ny"', "item_type", "holds a control character"),
    ("A,x\ty", "item_type", "holds a control character"),
    (f"{'é' * 201},x", "sku", "has more than 200 characters"),
    ("b@example.invalid,x", "sku", "held an e-mail address"),
]


@pytest.mark.parametrize(("row", "column", "reason"), ROWS, ids=[row[0][:12] for row in ROWS])
def test_a_bad_row_is_rejected_and_the_others_land(tmp_path: Path, row: str, column: str, reason: str) -> None:
    shop = SmallShop(tmp_path)
    delivery = shop.take_one("skus.csv", f"Stock no,Kind\nG1,tripod\n{row}\nG2,tube\n")
    assert (delivery.row_count, delivery.rejected_count) == (3, 1)
    assert shop.rejected() == [(2, column, reason)]
    assert shop.accepted() == [("G1", "tripod"), ("G2", "tube")]


def joined(rows: list[bytes], form: str) -> bytes:
    return b"\n".join(rows) if form == "jsonl" else b"[" + b",".join(rows) + b"]"


BYTES = b'{"Stock no": "B", "Kind": "tub\xe9", "Buyer": "x"}'


@pytest.mark.parametrize("form", ["jsonl", "json"])
@pytest.mark.parametrize("stated", [None, "utf-8"])
def test_bytes_that_are_no_text_cost_a_json_record_and_no_other(tmp_path: Path, form: str, stated: str | None) -> None:
    shop = SmallShop(tmp_path, [renamed(SKUS, format=form, encoding=stated)])
    # Without a stated encoding the letters of the other records prove it: more of them than bytes that are none.
    kind = "tripodé" if stated is None else "tripod"
    rows = [json.dumps({"Stock no": f"G{n}", "Kind": kind}, ensure_ascii=False).encode() for n in (1, 2)]
    delivery = shop.take_one(f"skus.{form}", joined([rows[0], BYTES, rows[1]], form))
    assert (delivery.row_count, delivery.accepted_count, delivery.rejected_count) == (3, 2, 1)
    ((number, column, reason),) = shop.rejected()
    assert (number, column) == (2, "(row)") and "no text in its encoding, \\xe9;" in reason
    ((text,),) = shop.rows("select source_text from rejected.rows")
    assert json.loads(text) == {"Stock no": "B", "Kind": "tub\\xe9"}


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (joined([b'{"Stock no": "G", "Kind": "x"}', BYTES], "json"), "is not utf-8"),
        ('[{"Stock no": "G", "Kind": "éé"},'.encode() + b'\xe9 {"Stock no": "H", "Kind": "x"}]', "is no JSON"),
    ],
    ids=["nothing proves UTF-8", "between two texts"],
)
def test_a_json_list_is_refused_where_its_bytes_cannot_be_reported(tmp_path: Path, content: bytes, reason: str) -> None:
    assert reason in SmallShop(tmp_path, [renamed(SKUS, format="json")]).refused("skus.json", content)


JSON_ROWS = [
    (b"{", "is no JSON object"),
    (b'{"Stock no": "A"', "is no JSON object"),
    (b"[]", "is JSON, but no object"),
    (b"null", "is JSON, but no object"),
    (b'{"Stock no": NaN, "Kind": "x"}', "NaN is no number"),
    (b'{"Stock no": "A", "Stock no": "B", "Kind": "x"}', "names a key twice"),
    (b'{"Stock no": ["A"], "Kind": "x"}', "holds a list or an object"),
    (b'{"Stock no": "A", "Kind": ' + b"[" * 100_000, "nested too deeply"),
    (b'{"Stock no": "A", "Kind": null}', "is missing"),
    (b'{"Stock no": "\\ud800", "Kind": "x"}', "holds half a character"),
]


@pytest.mark.parametrize(("row", "reason"), JSON_ROWS, ids=[row[0][:30].decode() for row in JSON_ROWS])
def test_a_bad_json_line_is_rejected_and_the_others_land(tmp_path: Path, row: bytes, reason: str) -> None:
    shop = SmallShop(tmp_path, [renamed(SKUS, format="jsonl")])
    good = json.dumps({"Stock no": "G", "Kind": "tripod"}).encode()
    shop.take_one("skus.jsonl", good + b"\n" + row + b"\n")
    ((number, _, reported),) = shop.rejected()
    assert number == 2 and reason in reported
    assert shop.accepted() == [("G", "tripod")]
