"""What files come in, and what is in them: told apart, named where it is left alone, never waited for."""

from __future__ import annotations

import io
import json
import os
import warnings
import zipfile
from pathlib import Path

import pyarrow as pa
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from models.settings.reading_limits import Limits
from pipelines.intake.reading.cell_texts import number_text
from pipelines.intake.reading.parquet_files import _number_text
from pipelines.shop import warehouse
from tests.pipelines.intake.raw_workbooks import book
from tests.pipelines.intake.small_shop import SKUS, SmallShop, renamed
from tests.pipelines.intake.test_names import parquet_of
from tests.sampling import tries

GOOD = "Stock no,Kind\n{0},tripod\n"


def test_members_of_one_name_are_both_read_and_told_apart(tmp_path: Path) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # zipfile warns of what is tested here
        for sku, name in (("A", "a.csv"), ("B", "a.csv"), ("C", "folder/a.csv")):
            packed.writestr(name, GOOD.format(sku))
    shop = SmallShop(tmp_path, [renamed(SKUS, files="a*.csv")])
    shop.put("all.zip", out.getvalue())
    assert [each.file_name for each in shop.import_files()] == [
        "all.zip/a.csv (1)",
        "all.zip/a.csv (2)",
        "all.zip/a.csv (3)",
    ]
    assert [row[0] for row in shop.accepted()] == ["A", "B", "C"]


def test_what_is_no_file_is_named_and_never_waited_for(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    inbox = shop.put("skus.csv", GOOD.format("A")).parent
    (inbox / "skus-folder.csv").mkdir()
    os.mkfifo(inbox / "skus-pipe.csv")
    (inbox / "skus-link.csv").symlink_to(inbox / "gone.csv")
    (inbox / "skus-loop.csv").symlink_to(inbox / "skus-loop.csv")
    reported = {each.file_name: each for each in shop.import_files()}
    assert reported["skus.csv"].accepted_count == 1
    assert not any(each.error for each in reported.values())
    assert reported["skus-folder.csv"].notes == ("is a folder and was left alone",)
    assert reported["skus-pipe.csv"].notes == ("is a pipe or a device, not a file and was left alone",)
    assert reported["skus-link.csv"].notes == ("is a link that leads nowhere and was left alone",)
    (asked,) = shop.import_files("skus-pipe.csv")
    assert asked.error is not None and "is a pipe" in str(asked.error)


def test_a_name_that_is_no_text_is_refused_and_named(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    inbox = shop.put("skus.csv", GOOD.format("A")).parent
    (inbox / os.fsdecode(b"skus-\xff.csv")).write_text(GOOD.format("B"))
    good, wrong = sorted(shop.import_files(), key=lambda each: each.error is not None)
    assert good.accepted_count == 1
    assert wrong.error is not None and "skus-\\xff.csv: has a name that is not in UTF-8" in str(wrong.error)


@pytest.mark.parametrize("form", ["json", "jsonl"])
def test_half_an_emoji_costs_its_own_row(tmp_path: Path, form: str) -> None:
    # In a column of free text as well as in one of codes, and as a key that nobody maps.
    rows = [{"Stock no": "A", "Kind": "x\ud83d"}, {"Stock no": "B\ude00", "Kind": "x"}, {"Stock no": "C", "Kind": "ok"}]
    reported = [json.dumps(row) for row in (*rows, {"Stock no": "D", "Kind": "ok", "\ud83d": "\ud83d"})]
    text = "\n".join(reported) if form == "jsonl" else f"[{','.join(reported)}]"
    shop = SmallShop(tmp_path, [renamed(SKUS, format=form)])
    delivery = shop.take_one("skus", text)
    assert [row[1:] for row in shop.rejected()] == [
        ("Kind", "holds half a character"),
        ("Stock no", "holds half a character"),
    ]
    assert [row[0] for row in shop.accepted()] == ["C", "D"]
    assert delivery.ignored == ("\ud83d",)


def test_text_that_parquet_holds_as_bytes_is_text(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [renamed(SKUS, format="parquet")])
    content = parquet_of({"Stock no": [b"A", "Ä".encode(), b"\xff", None], "Kind": [b"tripod", b"x", b"y", b"z"]})
    assert shop.take_one("skus", content).rejected_count == 2
    assert [row[0] for row in shop.accepted()] == ["A", "Ä"]
    assert shop.rejected() == [(3, "Stock no", "holds bytes that are not text"), (4, "sku", "is missing")]


NOISE = [(33.300000000000004, "33.3"), (0.1 + 0.2, "0.3"), (1.1 * 3, "3.3"), (16777217.0, "16777217"), (-2.5, "-2.5")]


@pytest.mark.parametrize("form", ["json", "jsonl", "parquet", "xlsx"])
def test_native_numbers_count_to_fifteen_digits_in_every_format(tmp_path: Path, form: str) -> None:
    numbers = [number for number, _ in NOISE]
    rows = [{"Stock no": f"S{at}", "Kind": number} for at, number in enumerate(numbers)]
    cells = "".join(
        f'<row r="{at + 2}"><c r="A{at + 2}" t="str"><v>S{at}</v></c><c r="B{at + 2}"><v>{number!r}</v></c></row>'
        for at, number in enumerate(numbers)
    )
    content = {
        "json": json.dumps(rows).encode(),
        "jsonl": "\n".join(map(json.dumps, rows)).encode(),
        "parquet": parquet_of({"Stock no": [row["Stock no"] for row in rows], "Kind": numbers}),
        "xlsx": book(cells),
    }
    shop = SmallShop(tmp_path, [renamed(SKUS, format=form)])
    shop.take_one("skus", content[form])
    assert [row[1] for row in shop.accepted()] == [text for _, text in NOISE]


def test_single_precision_keeps_its_own_digits(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [renamed(SKUS, format="parquet")])
    kinds = pa.array([33.3, 16777.25, 1.0], pa.float32())
    shop.take_one("skus", parquet_of({"Stock no": ["A", "B", "C"], "Kind": kinds}))
    assert [row[1] for row in shop.accepted()] == ["33.3", "16777.25", "1"]


def test_the_engine_writes_numbers_as_python_does() -> None:
    with warehouse.scratch() as connection:

        @given(st.lists(st.floats(), min_size=1, max_size=50))
        @settings(derandomize=True, deadline=None, max_examples=tries(60))
        @example([1e15, -0.0, 1e16, 123456789012345680.0, 5e-324, 1e-5, 0.0001, 999999999999999.9, 33.300000000000004])
        def agree(numbers: list[float]) -> None:
            connection.register("numbers", pa.table({"n": pa.array(numbers, pa.float64())}))
            found = connection.execute(f"select {_number_text('n', 'DOUBLE')} from numbers").fetchall()
            connection.unregister("numbers")
            assert [row[0] for row in found] == [number_text(number) for number in numbers]

        agree()


@pytest.mark.parametrize("form", ["csv", "jsonl", "parquet", "xlsx"])
def test_no_cell_is_cut_before_it_is_read(tmp_path: Path, form: str) -> None:
    # Cut after any number of characters, the first would be a plain text; the second is longer than any cell may be.
    long, longer = "x" + " " * 2_000 + "y", "x" + " " * 30_000 + "y"
    texts = [("A", long), ("B", longer), ("C", "ok")]
    content = {
        "csv": ("Stock no,Kind\n" + "".join(f"{sku},{text}\n" for sku, text in texts)).encode(),
        "jsonl": "\n".join(json.dumps({"Stock no": sku, "Kind": text}) for sku, text in texts).encode(),
        "parquet": parquet_of({"Stock no": [sku for sku, _ in texts], "Kind": [text for _, text in texts]}),
        "xlsx": book(
            "".join(
                f'<row r="{at}"><c t="str"><v>{sku}</v></c><c t="inlineStr"><is><t>{text}</t></is></c></row>'
                for at, (sku, text) in enumerate(texts, 2)
            )
        ),
    }
    shop = SmallShop(tmp_path, [renamed(SKUS, format=form)], limits=Limits(longest_cell=20_000))
    shop.take_one("skus", content[form])
    assert shop.accepted() == [("C", "ok")]
    reasons = [reason for _, _, reason in shop.rejected()]
    assert reasons[0] == "has more than 200 characters"
    assert "more than 2" in reasons[1]
    ((text,), _) = shop.rows("select source_text from rejected.rows order by row_number")
    assert json.loads(text)["Kind"] == long
