"""The generator writes the committed files again, and nothing in them is anyone's."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path

import openpyxl
import pyarrow.parquet as pq
import pytest

from sample_data import shop
from sample_data.generate import Demo, generate
from tests.sample_data.shop_files import INBOX, SHOP, is_bad, names, rows, truth

MOST_BYTES = 4_000_000


@pytest.fixture(scope="module")
def again(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    generate(folder)
    return folder


def committed() -> Iterator[Path]:
    for path in sorted(SHOP.rglob("*")):
        if path.is_file() and path.suffix not in {".py", ".md", ".pyc", ".png"} and path.name != "decisions.toml":
            yield path.relative_to(SHOP)


def content(path: Path) -> object:
    """Workbooks and Parquet by their cells: their bytes also hold the version of the library that wrote them."""
    if path.suffix == ".xlsx":
        book = openpyxl.load_workbook(io.BytesIO(path.read_bytes()), read_only=True)
        return [(sheet.title, list(sheet.iter_rows(values_only=True))) for sheet in book]
    if path.suffix == ".parquet":
        table = pq.read_table(path)
        return table.schema, table.to_pydict()
    return path.read_bytes()


def test_the_generator_writes_the_committed_files(again: Path) -> None:
    stated = list(committed())
    assert sorted(path.relative_to(again) for path in again.rglob("*") if path.is_file()) == stated
    differing = [
        path.as_posix()
        for path in stated
        if (again / path).read_bytes() != (SHOP / path).read_bytes() and content(again / path) != content(SHOP / path)
    ]
    assert differing == []


def test_a_smaller_shop_is_the_same_shop(tmp_path: Path) -> None:
    demo: Demo = generate(tmp_path, parcels=300)
    assert 200 < len(demo.parcels) < 400
    assert (tmp_path / "truth.toml").exists()
    assert demo.book.truth["wrong_surcharge"]


def test_everything_committed_is_small() -> None:
    assert sum((SHOP / path).stat().st_size for path in committed()) <= MOST_BYTES


def test_every_file_has_the_rows_that_truth_states() -> None:
    stated = {each["file"]: each["rows"] for each in truth()["files"]}
    assert sorted(stated) == sorted(path.name for path in INBOX.iterdir())
    assert {name: len(rows(name)) for name in stated} == stated
    assert all(each["new"] >= 0 for each in truth()["files"])


def test_buyers_are_placeholders() -> None:
    for name in names("market-sales"):
        for row in rows(name):
            assert re.fullmatch(r"Buyer \d{5}", row["Buyer"])
            assert re.fullmatch(r"\d+ Placeholder Rd", row["Street"])
            assert re.fullmatch(r"b\d{5}@example\.invalid", row["E-mail"])
            assert re.fullmatch(r"555-01\d\d", row["Phone"])
    assert all(row["buyer mail"].endswith("@example.invalid") for name in names("claims") for row in rows(name))


def test_sales_need_their_encoding_and_their_decimal_comma() -> None:
    raw = (INBOX / "sales-2025-Q2.csv").read_bytes()
    with pytest.raises(UnicodeDecodeError):
        raw.decode("utf-8")
    text = raw.decode("windows-1252")
    assert "geprüft" in text
    assert "€" in text
    assert re.search(r";\d+,\d\d;", text)


def test_about_half_of_the_sale_lines_name_their_goods_by_stock_number_alone() -> None:
    lines = [row for name in names("market-sales") for row in rows(name)]
    by_number = sum(row["Kind"] == "" for row in lines) / len(lines)
    assert 0.45 < by_number < 0.55
    assert all(row["Kind"] or row["Stock no"] for row in lines)


def test_the_bench_writes_some_cells_by_hand() -> None:
    log = [row for name in names("bench-log") for row in rows(name)]
    hands = {str(row[column]) for row in log for column in ("Scale", "L", "B", "H") if isinstance(row[column], str)}
    assert any(re.fullmatch(r"\d+ lb \d+ oz", text) for text in hands)
    assert any(re.fullmatch(r'[\d.]+"', text) for text in hands)
    assert "4 ft 1 in" in hands


def test_a_file_came_twice_and_another_corrects() -> None:
    copy = next(each for each in truth()["files"] if "copy_of" in each)
    assert (INBOX / copy["file"]).read_bytes() == (INBOX / copy["copy_of"]).read_bytes()
    before = {
        (row["Order no"], row["Pos"]): row for name in names("market-sales") if "2026-Q2" in name for row in rows(name)
    }
    sent = {(row["Order no"], row["Pos"]): row for row in rows("sales-corrections-2026-07.csv")}
    changed = {key for key, row in sent.items() if row != before[key]}
    assert changed == {(each["sale_id"], str(each["line_number"])) for each in truth()["corrected_sales"]}
    assert len(changed) == 25 < len(sent)


def test_corrections_and_bad_rows_land_after_what_they_refer_to() -> None:
    for name in sorted(path.name for path in INBOX.iterdir()):
        if is_bad(name):
            stem = re.split(r"[-_]bad[-_]rows", name)[0]
            good = [path.name for path in INBOX.iterdir() if path.name.startswith(stem) and "correct" not in path.name]
            assert max(each for each in good if not is_bad(each)) < name


def test_the_zone_chart_is_that_by_which_parcels_were_sent() -> None:
    with (SHOP / "tariffs" / "zones.csv").open(encoding="utf-8", newline="") as opened:
        assert {row["destination"]: row["zone"] for row in csv.DictReader(opened)} == shop.ZONES


def test_prices_rise_with_weight_and_zone() -> None:
    for path in sorted((SHOP / "tariffs").glob("*-20*.csv")):
        with path.open(encoding="utf-8", newline="") as opened:
            table = {
                (row["service"], int(row["zone"]), float(row["up_to_weight"])): int(row["price_cents"])
                for row in csv.DictReader(opened)
            }
        lanes = {(service, zone) for service, zone, _ in table}
        weights = sorted({weight for _, _, weight in table})
        assert {zone for _, zone in lanes} == set(range(2, 9))
        for service, zone in lanes:
            prices = [table[service, zone, weight] for weight in weights]
            assert prices == sorted(prices)
            assert zone == 2 or all(
                table[service, zone - 1, weight] <= table[service, zone, weight] for weight in weights
            )
