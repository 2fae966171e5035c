"""Persons typed into remarks: blanked where the row's columns name them, noted where they only look like persons."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import openpyxl
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from tests.pipelines.intake.small_shop import SKUS, SmallShop, source
from tests.pipelines.intake.test_personal import everything

COLUMNS = {
    "claim_id": "No",
    "parcel_id": "Label",
    "opened_on": "Opened",
    "claim_cause": "Cause",
    "claim_state": "State",
    "packing_evidence": "Seen",
}
HEADER = ("No", "Buyer", "Street", "Phone", "Label", "Opened", "Cause", "State", "Seen")
REMARKS = (
    "Anna Mueller says the end cap is crushed",
    "müller, 12 mill ln, rang from 5550101234",
    "end cap crushed, 12 in from the top",
    "lane 4 of the sorter",
    None,
    "neighbour Orla Venn took it",
    "left at 9 Kestrel Road",
    "box wet",
)
WHO = ("Anna Müller", "12 Mill Lane", "555-010-1234")
ROWS = [
    (f"C{number}", *WHO, f"4001773{number}", "2026-10-01", "damage", "filed", remark)
    for number, remark in enumerate(REMARKS, 1)
]
# Nothing of this may be found in the shop's folder; `venn` and `kestrel` stand in no column and are noted only.
GONE = ("mueller", "müller", "anna", "mill l", "555-010", "5550101234")
LEFT = [
    ("C1", "[name removed] says the end cap is crushed"),
    ("C2", "[name removed], [street removed], rang from [phone removed]"),
    ("C3", "end cap crushed, 12 in from the top"),
    ("C4", "lane 4 of the sorter"),
    ("C5", None),
    ("C6", "neighbour Orla Venn took it"),
    ("C7", "left at 9 Kestrel Road"),
    ("C8", "box wet"),
]


def as_csv(rows: Sequence[Sequence[Any]]) -> bytes:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([HEADER, *rows])
    return text.getvalue().encode()


def as_workbook(rows: Sequence[Sequence[Any]]) -> bytes:
    book, written = openpyxl.Workbook(), io.BytesIO()
    for row in (HEADER, *rows):
        book.active.append(row)
    book.save(written)
    return written.getvalue()


def as_json_lines(rows: Sequence[Sequence[Any]]) -> bytes:
    return "\n".join(json.dumps(dict(zip(HEADER, row, strict=True))) for row in rows).encode()


def as_parquet(rows: Sequence[Sequence[Any]]) -> bytes:
    written = io.BytesIO()
    pq.write_table(pa.Table.from_pylist([dict(zip(HEADER, row, strict=True)) for row in rows]), written)
    return written.getvalue()


def shop_of(folder: Path, **more: Any) -> SmallShop:
    return SmallShop(folder, [source("claims", "claims", "claims*", COLUMNS, **more)])


@pytest.mark.parametrize(
    ("name", "written", "place"),
    [
        ("claims.csv", as_csv, "line 7"),
        ("claims.xlsx", as_workbook, "row 6"),
        ("claims.jsonl", as_json_lines, "row 6"),
        ("claims.parquet", as_parquet, "row 6"),
    ],
)
def test_one_way_serves_every_format(
    tmp_path: Path, name: str, written: Callable[[Sequence[Sequence[Any]]], bytes], place: str
) -> None:
    shop = shop_of(tmp_path, format=name.split(".")[1])
    shop.put(name, written(ROWS))
    (delivery,) = shop.import_files(name)
    assert delivery.error is None, delivery.error
    assert shop.rows("select claim_id, packing_evidence from accepted.claims order by claim_id") == LEFT
    found = everything(tmp_path).casefold()
    assert [word for word in GONE if word in found] == []
    assert delivery.notes == (
        "in 2 rows an e-mail address, phone number, name or street was blanked",
        f"in 2 rows of `Seen` a street or a name may stand: {place.replace(' ', 's ')}, {int(place.split()[1]) + 1}",
    )


def test_rows_that_are_rejected_hold_nobody_either(tmp_path: Path) -> None:
    """A wrong day, and a row with a cell too few: its cells cannot be told apart, so its remark is not shown."""
    bad_day = (*ROWS[0][:5], "2026-13-01", *ROWS[0][6:])
    short = (*ROWS[1][:7], "Anna Mueller wrote")
    shop = shop_of(tmp_path)
    shop.put("claims.csv", as_csv([bad_day, short, *ROWS[2:]]))
    (delivery,) = shop.import_files("claims.csv")
    assert (delivery.rejected_count, delivery.accepted_count) == (2, 6)
    found = everything(tmp_path).casefold()
    assert [word for word in GONE if word in found] == []
    assert "[name removed] says the end cap" in str(shop.rows("select source_text from rejected.rows"))


def test_goods_that_are_called_like_a_buyer_keep_their_name(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [SKUS, source("claims", "claims", "claims*", COLUMNS)])
    shop.take_one("skus.csv", "Stock no,Kind\nS1,quillon mount\n")
    row = ("C1", "Ada Quillon", *ROWS[0][2:8], "quillon base cracked, Ada wrote")
    shop.put("claims.csv", as_csv([row]))
    shop.import_files("claims.csv")
    assert shop.rows("select packing_evidence from accepted.claims") == [
        ("quillon base cracked, [name removed] wrote",)
    ]


def test_a_remark_that_grows_by_its_marks_is_no_reason_to_reject_the_row(tmp_path: Path) -> None:
    row = ("C1", "Al Yew", *ROWS[0][2:8], "yew " * 50)
    shop = shop_of(tmp_path)
    shop.put("claims.csv", as_csv([row]))
    (delivery,) = shop.import_files("claims.csv")
    assert (delivery.accepted_count, delivery.rejected_count) == (1, 0)
    ((text,),) = shop.rows("select packing_evidence from accepted.claims")
    assert len(text) <= 200
    assert "yew" not in text


def test_a_file_without_personal_columns_is_only_looked_at(tmp_path: Path) -> None:
    shop = shop_of(tmp_path)
    lines = ["No,Label,Opened,Cause,State,Seen", "C1,40017731,2026-10-01,damage,filed,Mrs Pike called"]
    delivery = shop.take_one("claims.csv", "\n".join(lines))
    assert delivery.notes == ("in 1 row of `Seen` a street or a name may stand: line 2",)
    assert shop.rows("select packing_evidence from accepted.claims") == [("Mrs Pike called",)]


def test_columns_of_lists_cannot_be_compared_and_that_is_said(tmp_path: Path) -> None:
    row = dict(zip(HEADER, ROWS[0], strict=True)) | {"Buyer": {"first": "Anna", "last": "Müller"}}
    written = io.BytesIO()
    pq.write_table(pa.Table.from_pylist([row]), written)
    shop = shop_of(tmp_path, format="parquet")
    shop.put("claims.parquet", written.getvalue())
    (delivery,) = shop.import_files("claims.parquet")
    assert delivery.error is None
    assert "remarks were not compared with Buyer, Street, Phone, which hold lists or objects" in delivery.notes


@pytest.mark.parametrize("header", ["Customer since", "Last contact", "First buyer contact", "Street visit"])
def test_a_column_of_dates_is_not_personal(tmp_path: Path, header: str) -> None:
    shop = SmallShop(tmp_path, [source("claims", "claims", "claims*", COLUMNS | {"opened_on": header})])
    lines = [f"No,Label,{header},Cause,State,Seen", "C1,40017731,2026-10-01,damage,filed,torn"]
    delivery = shop.take_one("claims.csv", "\n".join(lines))
    assert (delivery.accepted_count, delivery.dropped) == (1, {})
    unmapped = shop_of(tmp_path / "other")
    lines = [f"No,Label,Opened,{header},Cause,State,Seen", "C1,4001,2026-10-01,03.10.2026,damage,filed,torn"]
    assert unmapped.take_one("claims.csv", "\n".join(lines)).dropped == {}


@pytest.mark.parametrize(
    ("header", "cell", "remark"),
    [
        # A figure alone is a parcel's number as well as a telephone number.
        ("Note", "x", "rang from 5550101234"),
        # A header that says nothing of persons.
        ("Field 7", "Thandiwe", "thandiwe was at home"),
        # An everyday word that is somebody's name.
        ("Buyer", "Mark Venn", "mark on the lid"),
        # Written as one word.
        ("Buyer", "Anna Müller", "annamueller wrote"),
    ],
)
def test_what_is_not_promised(tmp_path: Path, header: str, cell: str, remark: str) -> None:
    """Records that would make a larger promise untrue: such remarks stay as they are."""
    shop = shop_of(tmp_path)
    lines = [f"No,{header},Label,Opened,Cause,State,Seen", f"C1,{cell},40017731,2026-10-01,damage,filed,{remark}"]
    shop.take_one("claims.csv", "\n".join(lines))
    assert shop.rows("select packing_evidence from accepted.claims") == [(remark,)]


def test_a_name_beside_an_email_address_counts_as_a_name(tmp_path: Path) -> None:
    shop = shop_of(tmp_path)
    row = "C1,Anna Müller <b1@example.invalid>,40017731,2026-10-01,damage,filed,Mueller wrote"
    shop.take_one("claims.csv", f"No,E-mail,Label,Opened,Cause,State,Seen\n{row}\n")
    assert shop.rows("select packing_evidence from accepted.claims") == [("[name removed] wrote",)]


def test_what_else_was_noted_of_the_file_is_kept(tmp_path: Path) -> None:
    """A title above the header is noted in the archived file, which is written again; a stray quote spoils a row."""
    shop = shop_of(tmp_path)
    lines = ["Claims of October", ",".join(HEADER)]
    lines += ['C1,Anna Müller,12 Mill Lane,,4001,2026-10-01,damage,filed,"the ""12 in"" end, says Mueller"']
    lines += ['C2,Anna Müller,12 Mill Lane,,4002,2026-10-01,damage,filed,12" tube bent; Anna Mueller']
    delivery = shop.take_one("claims.csv", "\n".join(lines))
    assert "1 line above the header was passed over" in delivery.notes
    assert (delivery.accepted_count, delivery.rejected_count) == (1, 1)
    found = everything(tmp_path).casefold()
    assert [word for word in GONE if word in found] == []
    assert shop.rows("select packing_evidence from accepted.claims") == [('the "12 in" end, says [name removed]',)]
