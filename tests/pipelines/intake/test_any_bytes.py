"""Thousands of malformed files and cells: imported whole or refused with a reason, never a traceback."""

from __future__ import annotations

import gzip
import io
import json
import zipfile
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.intake import importing
from pipelines.shop import warehouse
from pipelines.shop.settings import Source
from tests.pipelines.intake.small_shop import NOW, SKUS, SmallShop, renamed
from tests.pipelines.intake.test_formats import parquet, workbook, zipped
from tests.pipelines.intake.test_malformed import CARTONS, GOOD
from tests.sampling import tries

MARKS = [*'ab,;"\n\r\t=01.-', "\0", "\x1a", "é", "\ufeff", "\u2028", "Stock no", "Kind", "Stock no,Kind\n", "\xff"]
SCRIBBLES = st.lists(st.sampled_from(MARKS), max_size=40).map("".join)
CSV_BYTES = st.one_of(
    SCRIBBLES.map(lambda text: ("Stock no,Kind\n" + text).encode()),
    SCRIBBLES.map(lambda text: text.encode("latin-1", "replace")),
    st.binary(max_size=200),
)
JSON_BYTES = st.lists(
    st.sampled_from([*'{}[]:,"\\\n ', '"Stock no":', '"Kind":', '"a"', "1", "null", "NaN"]), max_size=25
).map(lambda marks: "".join(marks).encode())
BOOK, PARQUET = workbook((("Stock no", "Kind"), ("A", "tripod"), ("B", 2.5))), parquet()


def damaged(content: bytes) -> st.SearchStrategy[bytes]:
    """The content with a byte changed, or cut."""
    places = st.integers(0, len(content) - 1)
    changed = st.tuples(places, st.integers(0, 255)).map(
        lambda change: content[: change[0]] + bytes([change[1]]) + content[change[0] + 1 :]
    )
    return st.one_of(changed, places.map(lambda place: content[:place]))


def held(connection: warehouse.Connection, shop: SmallShop, path: Path) -> None:
    """Take one file in beside others: it is imported whole or refused with three lines, and rows are conserved."""
    before = connection.execute("select count(*) from accepted.skus").fetchall()[0][0]
    (delivery,) = importing.import_files(shop.settings, [path], now=NOW, connection=connection)
    after = connection.execute("select count(*) from accepted.skus").fetchall()[0][0]
    if delivery.error is not None:
        assert after == before and delivery.error.next_step
        assert "could not be imported" not in str(delivery.error)
        return
    counted = delivery.accepted_count + delivery.unchanged_count + delivery.rejected_count
    assert delivery.is_known or delivery.row_count == counted
    assert after - before == delivery.accepted_count - delivery.corrected_count


@pytest.mark.parametrize(
    ("more", "name", "contents", "examples"),
    [
        ({}, "skus.csv", CSV_BYTES, 500),
        ({"encoding": "cp1252", "delimiter": ";"}, "skus.csv", CSV_BYTES, 100),
        ({"encoding": "utf-16"}, "skus.csv", CSV_BYTES, 60),
        ({"format": "jsonl"}, "skus.jsonl", JSON_BYTES, 150),
        ({"format": "json"}, "skus.json", JSON_BYTES, 100),
        ({"format": "xlsx"}, "skus.xlsx", damaged(BOOK), 120),
        ({"format": "parquet"}, "skus.parquet", damaged(PARQUET), 100),
        ({}, "skus.zip", damaged(zipped("skus.csv", GOOD.encode())), 60),
        ({}, "skus.csv.gz", damaged(gzip.compress(GOOD.encode(), mtime=0)), 60),
    ],
    ids=["csv", "windows csv", "utf-16 csv", "json lines", "json", "xlsx", "parquet", "zip", "gz"],
)
def test_any_bytes_are_landed_whole_or_refused(
    more: dict[str, Any], name: str, contents: st.SearchStrategy[bytes], examples: int
) -> None:
    with TemporaryDirectory() as folder, warehouse.scratch() as connection:
        shop = SmallShop(Path(folder), [renamed(SKUS, **more)])

        @given(contents)
        @settings(derandomize=True, deadline=None, max_examples=tries(examples))
        def all_held(content: bytes) -> None:
            held(connection, shop, shop.put(name, content))

        all_held()


CELLS = st.one_of(
    st.text(max_size=25),
    st.lists(st.sampled_from([*"0123456789.,-/: '\"$%()½", "lb", "in", "cm", "e9", "2026-"]), max_size=10).map("".join),
    st.sampled_from(["NaN", "inf", "1e999", "45992", "03/04/2026", "1,234", "-0", "0x10", "=1+1", "C-1"]),
)


def test_thousands_of_odd_cells_are_accepted_or_rejected_with_a_reason() -> None:
    columns = ("Box", "Since", "L", "B", "H", "Price")
    text: Source = renamed(CARTONS, format="jsonl", decimal=None)
    with TemporaryDirectory() as folder, warehouse.scratch() as connection:
        shop = SmallShop(Path(folder), [text])

        @given(st.lists(st.lists(CELLS, min_size=6, max_size=6), min_size=20, max_size=40))
        @settings(derandomize=True, deadline=None, max_examples=tries(25))
        def all_told(rows: list[list[str]]) -> None:
            written = "\n".join(json.dumps(dict(zip(columns, row, strict=True))) for row in rows)
            path = shop.put("boxes.jsonl", written)
            (delivery,) = importing.import_files(shop.settings, [path], now=NOW, connection=connection)
            assert delivery.error is None, delivery.error
            counted = delivery.accepted_count + delivery.unchanged_count + delivery.rejected_count
            assert delivery.is_known or delivery.row_count == counted
            blank = "select count(*) from rejected.rows where reason = '' or column_name = ''"
            assert connection.execute(blank).fetchall() == [(0,)]

        all_told()


def test_a_workbook_with_a_lying_size_is_read_whole(tmp_path: Path) -> None:
    content = io.BytesIO(workbook((("Stock no", "Kind"), ("A", "tripod"), ("B", "tube"))))
    out = io.BytesIO()
    with zipfile.ZipFile(content) as packed, zipfile.ZipFile(out, "w") as written:
        for name in packed.namelist():
            text = packed.read(name).replace(b'ref="A1:B3"', b'ref="A1:A1"')
            written.writestr(name, text)
    shop = SmallShop(tmp_path, [renamed(SKUS, format="xlsx")])
    assert shop.take_one("skus.xlsx", out.getvalue()).accepted_count == 2
