"""Each format, plain and packed, in several encodings: the same records, read the same."""

from __future__ import annotations

import gzip
import io
import json
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from openpyxl import Workbook

from pipelines.shop.settings import ColumnSource, Shop
from tests.pipelines.intake.small_shop import SKUS, SmallShop, renamed, source

HEADERS = ("Box", "Since", "L", "B", "H", "Price", "May be cut")
ROWS = (("C-1", "2026-01-02", "47.5", "7.5", "7.5", "2.85", "yes"), ("C-2", "2026-03-04", "30", "20", "10", "4", ""))
COLUMNS: dict[str, str | ColumnSource] = {
    "carton_code": "Box",
    "effective_from": "Since",
    "inside_length_in": ColumnSource("L", unit="in"),
    "inside_width_in": ColumnSource("B", unit="in"),
    "inside_height_in": ColumnSource("H", unit="in"),
    "unit_cost_cents": "Price",
    "is_cuttable": "May be cut",
}
LANDED = [("C-1", date(2026, 1, 2), 47.5, 285, True), ("C-2", date(2026, 3, 4), 30.0, 400, None)]
LOOK = """
    select carton_code, effective_from, inside_length_in, unit_cost_cents, is_cuttable
    from accepted.cartons order by all
"""


def delimited(delimiter: str = ",", end: str = "\n") -> str:
    return end.join(delimiter.join(row) for row in (HEADERS, *ROWS)) + end


def workbook(rows: tuple[tuple[Any, ...], ...] = (HEADERS, *ROWS), title: str = "Sheet", skip: int = 0) -> bytes:
    book = Workbook()
    sheet = book.active
    sheet.title = title
    for _ in range(skip):
        sheet.append([])
    for row in rows:
        sheet.append(list(row))
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def native(row: tuple[str, ...]) -> dict[str, Any]:
    """A row with numbers, a date and a boolean of their own types; what is empty is missing."""
    values: dict[str, Any] = dict(zip(HEADERS, row, strict=True))
    values |= {name: float(values[name]) for name in ("L", "B", "H", "Price")}
    return values | {"Since": date.fromisoformat(values["Since"]), "May be cut": True if values["May be cut"] else None}


def parquet() -> bytes:
    out = io.BytesIO()
    pq.write_table(pa.Table.from_pylist([native(row) for row in ROWS]), out)
    return out.getvalue()


def json_rows() -> list[dict[str, Any]]:
    return [{**native(row), "Since": row[1]} for row in ROWS]


def zipped(name: str, content: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr(f"../../etc/{name}", content)
        packed.writestr("__MACOSX/._x", b"")
    return out.getvalue()


FILES: list[tuple[str, dict[str, Any], str, Callable[[], bytes]]] = [
    ("comma", {}, "cartons.csv", lambda: delimited().encode()),
    ("semicolon and CRLF", {"delimiter": ";"}, "cartons.csv", lambda: delimited(";", "\r\n").encode()),
    ("old Mac line ends", {}, "cartons.csv", lambda: delimited(",", "\r").encode()),
    ("tab", {"format": "tsv"}, "cartons.tsv", lambda: delimited("\t").encode()),
    ("byte order mark", {}, "cartons.csv", lambda: delimited().encode("utf-8-sig")),
    ("utf-16", {"encoding": "utf-16"}, "cartons.csv", lambda: delimited().encode("utf-16")),
    ("utf-16 big endian", {"encoding": "utf-16-be"}, "cartons.csv", lambda: delimited().encode("utf-16-be")),
    ("blank lines first", {}, "cartons.csv", lambda: b"\n \n\n"[:2] + delimited().encode()),
    ("no line end at the end", {}, "cartons.csv", lambda: delimited().rstrip().encode()),
    ("gzip", {}, "cartons.csv.gz", lambda: gzip.compress(delimited().encode())),
    ("zip", {}, "cartons.zip", lambda: zipped("cartons.csv", delimited().encode())),
    ("workbook of text", {"format": "xlsx"}, "cartons.xlsx", workbook),
    ("workbook that begins lower", {"format": "xlsx"}, "cartons.xlsx", lambda: workbook(skip=3)),
    (
        "workbook of numbers and dates",
        {"format": "xlsx"},
        "cartons.xlsx",
        lambda: workbook((HEADERS, *(tuple(native(row).values()) for row in ROWS))),
    ),
    ("second sheet", {"format": "xlsx", "sheet": "Log"}, "cartons.xlsx", lambda: workbook(title="Log")),
    ("json list", {"format": "json"}, "cartons.json", lambda: json.dumps(json_rows()).encode()),
    ("json object", {"format": "json"}, "cartons.json", lambda: json.dumps({"n": 2, "all": json_rows()}).encode()),
    ("json lines", {"format": "jsonl"}, "cartons.jsonl", lambda: "\n".join(map(json.dumps, json_rows())).encode()),
    ("parquet", {"format": "parquet"}, "cartons.parquet", parquet),
]


@pytest.mark.parametrize(("more", "name", "content"), [file[1:] for file in FILES], ids=[file[0] for file in FILES])
def test_every_format_lands_the_same(
    tmp_path: Path, more: dict[str, Any], name: str, content: Callable[[], bytes]
) -> None:
    shop = SmallShop(tmp_path, [source("boxes", "cartons", "cartons*", COLUMNS, **more)])
    delivery = shop.take_one(name, content())
    assert (delivery.row_count, delivery.accepted_count, delivery.rejected_count) == (2, 2, 0)
    assert shop.rows(LOOK) == LANDED


def _parquet_of(columns: dict[str, list[Any]]) -> bytes:
    out = io.BytesIO()
    pq.write_table(pa.table(columns), out)
    return out.getvalue()


@pytest.mark.parametrize(
    ("kind", "content"),
    [
        ("xlsx", workbook((("Box", "L"), ("C-1", 1.234)))),
        ("jsonl", b'{"Box": "C-1", "L": 1.234}\n{"Box": "C-2", "L": "1,234"}'),
        ("parquet", _parquet_of({"Box": ["C-1"], "L": [1.234]})),
    ],
    ids=["xlsx", "jsonl", "parquet"],
)
def test_native_numbers_keep_their_value_under_a_decimal_comma(tmp_path: Path, kind: str, content: bytes) -> None:
    # 1.234 written as a number is one and a quarter, whatever mark the texts of the file use.
    columns: dict[str, str | ColumnSource] = {
        "carton_code": "Box",
        "inside_length_in": ColumnSource("L", unit="in"),
        "effective_from": ColumnSource(value="2026-01-01"),
        **{name: ColumnSource(value="1") for name in ("inside_width_in", "inside_height_in", "unit_cost_cents")},
    }
    shop = SmallShop(tmp_path, [source("boxes", "cartons", "c*", columns, decimal=",", format=kind)])
    shop.take_one("c", content)
    assert {row[0] for row in shop.rows("select inside_length_in from accepted.cartons")} == {1.234}


def test_parquet_types_become_the_text_a_person_writes(tmp_path: Path) -> None:
    columns: dict[str, list[Any]] = {
        "sku": [40017733.0, 40017734.0],
        "item_type": [datetime(2026, 1, 2, 3, 4), datetime(2026, 1, 2)],
    }
    shop = SmallShop(tmp_path, [renamed(SKUS, columns=source("x", "skus", "").columns, format="parquet")])
    shop.take_one("skus.parquet", _parquet_of(columns))
    assert [row[0] for row in shop.accepted()] == ["40017733", "40017734"]


def test_units_words_constants_and_row_numbers(tmp_path: Path) -> None:
    columns: dict[str, str | ColumnSource] = {
        "sale_id": "Nr",
        "line_number": ColumnSource(row=True),
        "sold_at": "Am",
        "channel": ColumnSource("Wo", values={"MP": "marketplace"}),
        "item_type": ColumnSource(value="tripod"),
        "quantity": ColumnSource(value="1"),
        "item_price_cents": ColumnSource("Preis", unit="cents"),
        "shipping_charged_cents": "Porto",
        "is_fee_on_shipping": ColumnSource("Gebühr", values={"J": "yes", "-": "no"}),
    }
    sales = source("laden", "sales", "*.csv", columns, delimiter=";", decimal=",", date_order="dmy", encoding="cp1252")
    shop = SmallShop(tmp_path, [sales], Shop(currency="EUR", time_zone="Europe/Berlin"))
    text = (
        "Nr;Am;Wo;Preis;Porto;Gebühr\nA;3.10.2026 14:25;MP;18900;24,5;J\nB;2026-10-03T12:25:00Z;eBude;1;€ 1.024,50;-\n"
    )
    shop.take_one("laden.csv", text.encode("cp1252"))
    found = shop.rows(
        "select sale_id, line_number, sold_at, channel, item_type, item_price_cents, shipping_charged_cents, "
        "is_fee_on_shipping from accepted.sales order by 1"
    )
    moment = datetime(2026, 10, 3, 14, 25)
    assert found == [
        ("A", 1, moment, "marketplace", "tripod", 18900, 2450, True),
        ("B", 2, moment, "eBude", "tripod", 1, 102450, False),
    ]
