"""Decimal marks of whole files: stated, proven, contradicted or open; and keys that a spreadsheet has shortened."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from pipelines.shop.settings import ColumnSource, Shop
from tests.pipelines.intake.small_shop import SmallShop, lines, renamed, source
from tests.pipelines.intake.test_formats import workbook

HEADERS = ("Way", "Room", "Price")
WAYS = source(
    "ways",
    "packing_methods",
    "c*",
    {
        "packing_method": "Way",
        "clearance_in": ColumnSource("Room", unit="mm"),
        "material_cents": "Price",
        "effective_from": ColumnSource(value="2026-01-01"),
        "pack_minutes": ColumnSource(value="7"),
    },
    delimiter=";",
)
OPEN = "may be a decimal or a thousands mark; state `decimal` in the column map"


def landed(shop: SmallShop, rows: list[tuple[str, str]]) -> dict[str, tuple[float, int]]:
    """Way -> room in mm and cents, of rows of room and price; ways are numbered from 1."""
    shop.take_one("c.csv", lines([HEADERS, *((str(at), *row) for at, row in enumerate(rows, 1))], ";"))
    found = shop.rows("select packing_method, clearance_in, material_cents from accepted.packing_methods")
    return {way: (round(room * 25.4, 3), cents) for way, room, cents in found}


def test_what_nothing_proves_is_rejected_and_the_reason_says_what_to_state(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [WAYS])
    assert landed(shop, [("1.500", "3"), ("1,500", "3"), ("12", "1.500"), ("12", "1,500"), ("12", "3")]).keys() == {"5"}
    places = [("clearance_in", "point"), ("clearance_in", "comma")]
    places += [("material_cents", "point"), ("material_cents", "comma")]
    wanted = [(at, place, f"has a {mark} that {OPEN}") for at, (place, mark) in enumerate(places, 1)]
    assert shop.rejected() == wanted


@pytest.mark.parametrize(
    ("proof", "length"),
    [("12.5", 1.5), ("0.125", 1.5), ("1,234.5", 1.5), ("1,234,567", 1.5), ("12,5", 1500), ("1.234,5", 1500)],
)
def test_a_proof_anywhere_in_the_column_reads_the_others(tmp_path: Path, proof: str, length: float) -> None:
    # The proof is the last of many rows: the whole file is asked, not its first rows.
    shop = SmallShop(tmp_path, [WAYS])
    found = landed(shop, [("1.500", "3")] * 1_200 + [(proof, "3")])
    assert {row[0] for way, row in found.items() if way != "1201"} == {length}
    assert {place for _, place, _ in shop.rejected()} <= {"clearance_in"}


def test_another_columns_proof_reads_a_column_that_proves_nothing(tmp_path: Path) -> None:
    assert landed(SmallShop(tmp_path, [WAYS]), [("1.500", "3,25"), ("12", "4")])["1"] == (1500.0, 325)


def test_columns_that_disagree_prove_nothing_of_a_third(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [renamed(WAYS, columns={**WAYS.columns, "pack_minutes": ColumnSource("Min")})])
    text = "Way;Room;Price;Min\n1;12.5;3,25;1.500\n2;1.500;1.500;1\n"
    shop.take_one("c.csv", text)
    assert shop.rejected() == [(1, "pack_minutes", f"has a point that {OPEN}")]
    (row,) = shop.rows("select round(clearance_in * 25.4, 3), material_cents from accepted.packing_methods")
    assert row == (1.5, 150_000)


def test_a_column_that_writes_both_marks_leaves_its_ambiguous_cells_open(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [WAYS])
    assert landed(shop, [("12.5", "3"), ("12,5", "3"), ("1.500", "3")]) == {"1": (12.5, 300), "2": (12.5, 300)}
    assert shop.rejected() == [(3, "clearance_in", f"has a point that {OPEN}")]


@pytest.mark.parametrize(("decimal", "length", "cents"), [(".", 1.5, 100_000), (",", 1500.0, 100)])
def test_what_the_map_states_holds_for_a_file_too_small_to_prove_it(
    tmp_path: Path, decimal: str, length: float, cents: int
) -> None:
    shop = SmallShop(tmp_path, [renamed(WAYS, decimal=decimal)])
    assert landed(shop, [("1.500", "1,000")]) == {"1": (length, cents)}


@pytest.mark.parametrize(
    ("decimal", "cells", "shown"),
    [
        (".", ["1.234,56", "12", "1.500"], "'1.234,56'"),
        (".", ["12,5", "1.500", "8"], "'12,5'"),
        (".", ["12,50 €", "3"], "'12,50 €'"),
        (",", ["12.50", "1.500"], "'12.50'"),
        (",", ["1,234,567"], "'1,234,567'"),
    ],
)
def test_a_file_that_contradicts_the_stated_mark_is_refused_whole(
    tmp_path: Path, decimal: str, cells: list[str], shown: str
) -> None:
    shop = SmallShop(tmp_path, [renamed(WAYS, decimal=decimal)], Shop(currency="EUR"))
    reported = shop.refused("c.csv", lines([HEADERS, *((str(at), "12", cell) for at, cell in enumerate(cells))], ";"))
    other = {".": ",", ",": "."}[decimal]
    for words in ("c.csv", "column 'Price'", shown, f"decimal = '{decimal}'", f"state decimal = '{other}'", "Next:"):
        assert words in reported
    assert list((tmp_path / "archive").iterdir()) == []
    # The shop goes on with the map corrected.
    shop.sources = [renamed(WAYS, decimal=other)]
    assert shop.import_files("c.csv")[0].error is None


def test_a_few_cells_with_the_other_mark_are_rejected_and_harm_no_other_row(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [renamed(WAYS, decimal=".")])
    assert landed(shop, [("12.5", "3"), ("7.5", "3"), ("12,5", "3"), ("1.500", "3")]).keys() == {"1", "2", "4"}
    assert shop.rejected() == [(3, "clearance_in", "is not a number")]


def parquet(columns: dict[str, Any]) -> bytes:
    """A file of these columns."""
    out = io.BytesIO()
    pq.write_table(pa.table(columns), out)
    return out.getvalue()


NATIVE: list[tuple[str, Callable[[Any], bytes]]] = [
    ("xlsx", lambda length: workbook((HEADERS, ("A", length, 2.5), ("B", 12, 2.5)))),
    ("json", lambda length: json.dumps([dict(zip(HEADERS, ("A", length, 2.5), strict=True))]).encode()),
    ("jsonl", lambda length: json.dumps(dict(zip(HEADERS, ("A", length, 2.5), strict=True))).encode()),
    ("parquet", lambda length: parquet({"Way": ["A"], "Room": [length], "Price": [2.5]})),
]


@pytest.mark.parametrize("decimal", [None, ".", ","])
@pytest.mark.parametrize(("form", "written"), NATIVE, ids=[form for form, _ in NATIVE])
def test_a_number_written_as_a_number_is_never_ambiguous(
    tmp_path: Path, form: str, written: Callable[[Any], bytes], decimal: str | None
) -> None:
    shop = SmallShop(tmp_path, [renamed(WAYS, format=form, decimal=decimal)])
    shop.take_one("c", written(1.125))
    found = shop.rows("select round(clearance_in * 25.4, 3) from accepted.packing_methods where packing_method = 'A'")
    assert found == [(1.125,)] and shop.rejected() == []


def test_a_decimal_of_parquet_with_three_places_is_never_ambiguous(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [renamed(WAYS, format="parquet")])
    length = pa.array(["1.500"]).cast(pa.decimal128(9, 3))
    shop.take_one("c", parquet({"Way": ["A"], "Room": length, "Price": [2]}))
    assert shop.rows("select round(clearance_in * 25.4, 3) from accepted.packing_methods") == [(1.5,)]


@pytest.mark.parametrize(("form", "written"), NATIVE, ids=[form for form, _ in NATIVE])
def test_a_number_written_as_a_number_proves_nothing_of_the_texts(
    tmp_path: Path, form: str, written: Callable[[Any], bytes]
) -> None:
    # The price is 2.5 as a number; the text 1.500 beside it may come from a shop that writes decimal commas.
    shop = SmallShop(tmp_path, [renamed(WAYS, format=form)])
    shop.take_one("c", written("1.500"))
    assert shop.rejected() == [(1, "clearance_in", f"has a point that {OPEN}")]


def test_a_text_with_its_unit_proves_the_mark_in_a_workbook(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [renamed(WAYS, format="xlsx")])
    shop.take_one("c", workbook((HEADERS, ("A", "1.500", 2), ("B", "12,5 mm", 2))))
    assert dict(shop.rows("select packing_method, round(clearance_in * 25.4, 3) from accepted.packing_methods")) == {
        "A": 1500.0,
        "B": 12.5,
    }


@pytest.mark.parametrize("decimal", [None, ".", ","])
def test_a_duration_of_a_workbook_is_never_ambiguous(tmp_path: Path, decimal: str | None) -> None:
    columns = {**WAYS.columns, "pack_minutes": ColumnSource("Time"), "clearance_in": ColumnSource(value="1")}
    columns |= {"material_cents": ColumnSource(value="90"), "packing_method": ColumnSource("Name")}
    shop = SmallShop(tmp_path, [renamed(WAYS, columns=columns, files="w*", format="xlsx", decimal=decimal)])
    shop.take_one("w", workbook((("Name", "Time"), ("foam", timedelta(seconds=67.5)))))
    assert shop.rows("select pack_minutes from accepted.packing_methods") == [(1.125,)]


def test_a_text_column_keeps_a_number_as_it_is(tmp_path: Path) -> None:
    skus = source("stock", "skus", "s*", {"sku": "No", "item_type": "Kind"}, format="xlsx", decimal=",")
    shop = SmallShop(tmp_path, [skus])
    shop.take_one("s", workbook((("No", "Kind"), (1.125, "tripod"))))
    assert shop.accepted() == [("1.125", "tripod")]


@pytest.mark.parametrize("code", ["9.4E21", "9.40011E+21", "1.23457E+11", "9,40011E+21", "1E+11", "9.4e+21"])
def test_a_key_that_a_spreadsheet_has_shortened_is_rejected(tmp_path: Path, code: str) -> None:
    skus = source("stock", "skus", "s*", {"sku": "No", "item_type": "Kind"}, delimiter=";")
    shop = SmallShop(tmp_path, [skus])
    shop.take_one("s", f"No;Kind\n{code};tripod\nA-1;tube\n")
    ((row, column, reason),) = shop.rejected()
    assert (row, column) == (1, "sku")
    assert "spreadsheet" in reason and "export the column as text" in reason


def test_an_invoice_number_that_is_no_key_is_rejected_too(tmp_path: Path) -> None:
    columns: dict[str, str | ColumnSource] = {
        "carrier": ColumnSource(value="Northline"),
        "invoice_number": "Invoice",
        "line_number": ColumnSource(row=True),
        "parcel_id": "Label",
        "invoiced_on": ColumnSource(value="2026-01-31"),
        "charge_code": ColumnSource(value="BASE"),
        "charge_kind": ColumnSource(value="base"),
        "amount_cents": ColumnSource(value="5"),
    }
    shop = SmallShop(tmp_path, [source("bills", "charges", "b*", columns)])
    shop.take_one("b", "Invoice,Label\nN-1,9.40011E+21\n1.2E+11,NL1\nN-3,NL1\n")
    assert [(row, column) for row, column, _ in shop.rejected()] == [(1, "parcel_id"), (2, "invoice_number")]


@pytest.mark.parametrize("code", ["12E4", "4E10", "1E5", "A1.2E+11", "12.5E+11", "0.5E+11", "1.2E+1"])
def test_a_code_that_only_looks_like_it_is_a_code(tmp_path: Path, code: str) -> None:
    skus = source("stock", "skus", "s*", {"sku": "No", "item_type": "Kind"})
    shop = SmallShop(tmp_path, [skus])
    shop.take_one("s", f"No,Kind\n{code},tripod\n")
    assert shop.accepted() == [(code, "tripod")]


def test_words_like_a_shortened_number_stay_where_the_column_is_no_key(tmp_path: Path) -> None:
    skus = source("stock", "skus", "s*", {"sku": "No", "item_type": "Kind"})
    shop = SmallShop(tmp_path, [skus])
    shop.take_one("s", "No,Kind\nA,1E+11\n")
    assert shop.accepted() == [("A", "1E+11")]
