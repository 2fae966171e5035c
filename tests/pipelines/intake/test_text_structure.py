"""Named traps of text files, from the file to the warehouse: what is stored, what is rejected, and what is said."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pyarrow.parquet as pq
import pytest

from pipelines.intake.file_lines import repaired_rows
from pipelines.intake.reading.tables import AS_FOUND
from pipelines.shop import warehouse
from pipelines.shop.settings import ColumnSource
from tests.pipelines.intake.small_shop import NOW, SKUS, SmallShop, renamed, source

THREE = source("stock", "skus", "skus*", {"sku": "Stock no", "item_type": "Kind"})
HEAD = "Stock no,Kind,Shelf\n"
ROWS = "A-1,tripod,1\nB-2,tube,2\nC-3,mount,3\nD-4,tube,4\n"
STORED = [("A-1", "tripod"), ("B-2", "tube"), ("C-3", "mount"), ("D-4", "tube")]


def shop_of(folder: Path, **more: Any) -> SmallShop:
    return SmallShop(folder, [renamed(THREE, **more)])


def reported(shop: SmallShop) -> list[tuple[int, str, str]]:
    """Line, reason and text of what was rejected."""
    rows = shop.rows("select line_number, reason, source_text from rejected.rows order by line_number")
    return [(line, reason, json.loads(text).get("(row)", text)) for line, reason, text in rows]


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("X-9,,tube,", "has 4 cells where the header has 3"),
        ("X-9,tube", "has 2 of 3 cells"),
        ('X-9,"tube,5', "opens a quote that does not end"),
        ('X-9,tu"be,5', "quote mark of unclear meaning"),
        ('X-9,tube",5', "quote mark of unclear meaning"),
        ('X-9,"tu"be",5', "has text after a closing quote"),
        ("X-9,'tube',5", "enclosed in ' '"),
        ("X-9,“tube”,5", "enclosed in “ ”"),
        ("X-9;tube;5", "has 1 of 3 cells"),
        ("Total,,5", "looks like a total"),
        ('""', "has 1 of 3 cells"),
    ],
)
@pytest.mark.parametrize("place", [0, 2, 4])
def test_a_faulty_row_costs_only_itself(tmp_path: Path, row: str, reason: str, place: int) -> None:
    lines = ROWS.splitlines()
    shop = shop_of(tmp_path, columns={**THREE.columns})
    delivery = shop.take_one("skus.csv", HEAD + "\n".join([*lines[:place], row, *lines[place:]]) + "\n")
    assert (delivery.row_count, shop.accepted()) == (5, STORED)
    ((line, why, text),) = reported(shop)
    # The third column is not mapped, so what may be from it is not told.
    assert line == place + 2 and reason in why and text.startswith(row[:3] if "," in row else "…")


def test_lines_that_a_stray_quote_joins_are_all_rejected(tmp_path: Path) -> None:
    shop = shop_of(tmp_path)
    shop.take_one("skus.csv", HEAD + 'A-1,"tripod,1\nB-2,tube",2\nC-3,mount,3\n')
    assert shop.accepted() == [("C-3", "mount")]
    assert [line for line, _, _ in reported(shop)] == [2, 3]


def test_a_title_a_second_table_and_a_footer(tmp_path: Path) -> None:
    shop = shop_of(tmp_path)
    below = "\nShelves\nShelf,Colour,Side\n1,red,left\n\n4 rows\n"
    delivery = shop.take_one("skus.csv", "Stock list\nof May\n\n" + HEAD + ROWS + below)
    assert shop.accepted() == STORED
    assert [line for line, _, _ in reported(shop)] == [10, 11, 12, 14]
    assert "2 lines above the header were passed over" in delivery.notes


def test_a_repeated_header_is_passed_over_and_said(tmp_path: Path) -> None:
    shop = shop_of(tmp_path)
    delivery = shop.take_one("skus.csv", HEAD + ROWS + HEAD + "E-5,tube,5\n")
    assert shop.accepted() == [*STORED, ("E-5", "tube")] and reported(shop) == []
    assert "passed over: 1 line with the header again" in delivery.notes


def test_rows_of_data_above_the_mapped_headers_are_no_titles(tmp_path: Path) -> None:
    words = shop_of(tmp_path).refused("skus.csv", "Stock-no,Kind,Shelf\n" + ROWS + HEAD + ROWS)
    assert "has no column 'Stock no'" in words


def test_a_line_above_the_header_as_wide_as_the_table_is_rejected_by_its_text(tmp_path: Path) -> None:
    shop = shop_of(tmp_path)
    delivery = shop.take_one("skus.csv", "Block 0,Block 1,Block 2\n" + HEAD + ROWS)
    assert (delivery.row_count, shop.accepted()) == (5, STORED)
    ((line, why, text),) = reported(shop)
    assert (line, why) == (1, "stands above the header") and text.startswith("Block 0,Block 1")


SIDES = source(
    "methods",
    "packing_methods",
    "m*",
    {
        "packing_method": "Way",
        "clearance_in": ColumnSource("Room", unit="in"),
        "material_cents": "Price",
        "effective_from": "Since",
        "pack_minutes": ColumnSource(value="7"),
    },
    decimal=".",
)
SIDE_HEAD, SIDE_ROWS = (
    "Way,Room,Since,Price,Note\n",
    "foam,2,2026-01-01,3.50,\nmesh,4,2026-01-01,5.00,\nwrap,1,2026-01-01,2.25,\n",
)


def test_a_delimiter_at_the_end_of_every_row(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [SIDES])
    rows = SIDE_ROWS.replace("\n", ",\n") + "tape,3,2026-01-01,1.00,x,6\ntube,3,2026-01-01,1.00,\n"
    shop.take_one("methods.csv", SIDE_HEAD + rows)
    assert shop.rows("select packing_method, material_cents from accepted.packing_methods order by 1") == [
        ("foam", 350),
        ("mesh", 500),
        ("wrap", 225),
    ]
    assert [line for line, _, _ in reported(shop)] == [5, 6]


def test_a_first_column_without_a_name_is_not_taken_for_an_empty_last_one(tmp_path: Path) -> None:
    texts = shop_of(tmp_path / "texts").refused("skus.csv", HEAD + ROWS.replace("\n", ",\n"))
    assert "first column has no name" in texts and "header = false and skip = 1" in texts
    rows = "".join(f"{number},{line}\n" for number, line in enumerate(SIDE_ROWS.splitlines()))
    assert "first column" in SmallShop(tmp_path / "m", [SIDES]).refused("methods.csv", SIDE_HEAD + rows)


@pytest.mark.parametrize(
    ("more", "text"),
    [
        ({"delimiter": "||"}, (HEAD + ROWS).replace(",", "||")),
        ({"quote": "'"}, HEAD + ROWS.replace("tripod", "'tripod'")),
        ({"skip": 2}, "Stock no,Kind,Old\nZ,z,z\n" + HEAD + ROWS),
        ({"header_rows": 2}, "Stock,Kind,\nno,,\n" + ROWS),
        ({"end_of_table": "Sum of all"}, HEAD + ROWS + "Sum of all,,10\nprinted today\n"),
        ({"end_of_table": "(empty line)"}, HEAD + ROWS + "\nprinted today\n"),
        ({"escape": "\\"}, HEAD + ROWS.replace("tripod", '"tripod"')),
    ],
)
def test_stated_structure(tmp_path: Path, more: dict[str, Any], text: str) -> None:
    shop = shop_of(tmp_path, **more)
    shop.take_one("skus.csv", text)
    assert shop.accepted() == STORED and reported(shop) == []


def test_a_record_below_the_stated_end_is_rejected(tmp_path: Path) -> None:
    shop = shop_of(tmp_path, end_of_table="(empty line)")
    delivery = shop.take_one("skus.csv", HEAD + ROWS + "\nE-5,tube,5\nprinted today\n")
    assert shop.accepted() == STORED
    assert [(line, why[:30]) for line, why, _ in reported(shop)] == [(7, "stands below the end of the ta")]
    assert "left out: 1 line from line 6 on, below the end of the table" in delivery.notes


def test_quotes_within_cells_are_read_marked_and_counted(tmp_path: Path) -> None:
    shop = shop_of(tmp_path)
    delivery = shop.take_one("skus.csv", HEAD + 'A-1,24" tube,1\nB-2,tripod 60",2\nC-3,a "long" tube,3\nD-4,tube,4\n')
    assert [kind for _, kind in shop.accepted()] == ['24" tube', 'tripod 60"', 'a "long" tube', "tube"]
    assert any("3 rows with quote marks" in note for note in delivery.notes)
    (archived,) = (tmp_path / "archive").glob("*.parquet")
    assert pq.read_table(archived).column(AS_FOUND).to_pylist() == [
        'A-1,24" tube,…',
        'B-2,tripod 60",…',
        'C-3,a "long" tube,…',
        None,
    ]
    with warehouse.reading(shop.settings) as connection:
        found = repaired_rows(connection, shop.settings, [(1, 4), (1, 3), (1, 1), (9, 1)])
    assert [(row.file_name, row.row_number, row.text) for row in found] == [
        ("skus.csv", 1, 'A-1,24" tube,…'),
        ("skus.csv", 3, 'C-3,a "long" tube,…'),
    ]


def test_utf8_read_in_another_encoding_is_said(tmp_path: Path) -> None:
    shop = shop_of(tmp_path, encoding="cp1252")
    delivery = shop.take_one("skus.csv", HEAD + "A-1,Größe,1\n")
    assert "looks like UTF-8 but was read as cp1252" in delivery.notes
    right = shop_of(tmp_path / "right", encoding="cp1252").take_one(
        "skus.csv", (HEAD + "A-1,Größe,1\n").encode("cp1252")
    )
    assert right.notes == ()


@pytest.mark.parametrize(
    ("stated", "good", "bad"),
    [
        ({"encoding": "utf-8"}, b"A-1,tripod,1", (b"B\xfc,tube,2", b"B\xfd,tube,3", b"C-3,mount,\xc3")),
        ({}, "A-1,x,\xfc\nA-2,x,\xe4\nA-3,x,\xf6".encode(), (b"B\xfc,tube,2", b"B\xfd,tube,3")),
        ({}, b"\xef\xbb\xbf", (b"B\xfc,tube,2",)),
        ({"encoding": "cp1252"}, b"A-1,tripod,\xfc", (b"B\x81,tube,2", b"B\x8d,tube,3")),
        ({"encoding": "ascii"}, b"A-1,tripod,1", (b"B\xfc,tube,2", b'"B\n\xfd",tube,3')),
    ],
)  # fmt: skip
def test_bytes_that_are_no_text_cost_only_their_rows(
    tmp_path: Path, stated: dict[str, str], good: bytes, bad: tuple[bytes, ...]
) -> None:
    shop = shop_of(tmp_path, **stated)
    mark, good = (good, b"A-1,tripod,1") if good.startswith(b"\xef") else (b"", good)
    lines = [mark + HEAD.encode().rstrip(), good, *bad, b"D-4,tube,4", b""]
    shop.take_one("skus.csv", b"\n".join(lines))
    assert {key for key, _ in shop.accepted()} == {line[:3].decode() for line in (*good.split(b"\n"), b"D-4")}
    found = reported(shop)
    assert [
        [f"\\x{byte:02x}" in text or "…" in text for byte in line if byte > 127]
        for line, (_, _, text) in zip(bad, found, strict=True)
    ] == [[True]] * len(bad)
    assert all("no text in its encoding" in why for _, why, _ in found)
    assert len({text for _, _, text in found}) == len(bad)


def test_broken_characters_never_become_one_key(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [renamed(SKUS, format="jsonl")])
    rows = ['{"Stock no": "A\\ud800", "Kind": "x"}', '{"Stock no": "A\\udc00", "Kind": "y"}']
    delivery = shop.take_one("skus.jsonl", "\n".join(rows))
    assert (delivery.rejected_count, shop.accepted()) == (2, [])
    texts = [text for (text,) in shop.rows("select source_text from rejected.rows order by row_number")]
    assert [("\\ud800" in text, "\\udc00" in text) for text in texts] == [(True, False), (False, True)]


def test_a_reason_names_the_line_of_the_file(tmp_path: Path) -> None:
    shop = shop_of(tmp_path)
    shop.take_one("skus.csv", 'Stock list\n\nStock no,Kind,Note\nA-1,tripod,"one\n\ntwo"\n\nB-2,tube\nC-3,,x\n')
    assert [line for line, _, _ in reported(shop)] == [8, 9]
    plain = shop_of(tmp_path / "plain")
    plain.take_one("skus.csv", "Stock list\n\n" + HEAD + "A-1,tripod,1\nB-2,,2\n")
    assert [line for line, _, _ in reported(plain)] == [5]


def test_an_export_of_two_character_delimiters_comes_back(tmp_path: Path) -> None:
    from pipelines.intake import rejects_export

    shop = shop_of(tmp_path, delimiter="||")
    shop.take_one("skus.csv", (HEAD + "A-1,,1\n").replace(",", "||"))
    with warehouse.reading(shop.settings) as connection:
        ((path, count),) = rejects_export.export(connection, shop.settings, NOW)
    assert count == 1
    mended = path.read_text(encoding="utf-8-sig").replace("A-1,,", "A-1,tripod,")
    assert shop.take_one(path.name, mended).resolved_count == 1
    assert shop.accepted() == [("A-1", "tripod")]
