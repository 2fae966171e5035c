"""Sales without line numbers: lines are counted within their sale, whichever files and rows they come in."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

import pytest

from models.errors import SettingsError
from pipelines.cli import main
from pipelines.intake import replaying
from pipelines.intake.importing import import_files
from pipelines.intake.rejects_export import export
from pipelines.shop import settings, warehouse
from tests.pipelines.intake.mapped_shop import made_in
from tests.pipelines.intake.small_shop import NOW
from tests.pipelines.intake.test_joining import answered, mapped, put

HEAD = "Order,Paid on,Item,Units,Unit price,Postage\n"
LINES = "select sale_id, line_number, item_type, quantity from accepted.sales order by all"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return made_in(tmp_path)


def lines_of(sale: int, chance: random.Random) -> list[str]:
    goods = [chance.choice(("pole", "shade", "mirror")) for _ in range(chance.randint(1, 4))]
    return [
        f"S{sale},2026-10-{sale % 28 + 1:02},{item},{chance.randint(1, 3)},9.00,{chance.randint(1, 9)}.00\n"
        for item in goods
    ]


def test_exports_that_overlap_hold_the_same_lines(shop: Path) -> None:
    """The referee counts in plain Python; the second export begins in the middle of the first."""
    chance = random.Random(4)
    sales = [lines_of(number, chance) for number in range(60)]
    exports = {"sales-1.csv": sales[:40], "sales-2.csv": sales[20:]}
    paths = put(shop, {name: (HEAD + "".join(map("".join, rows))).encode() for name, rows in exports.items()})
    assert mapped(shop, paths[0]) == 0
    assert 'line_number = {within = "Order"}' in (shop / settings.FILE_NAME).read_text()
    first, second = import_files(settings.load(shop), None, now=NOW)
    assert first.error is second.error is None
    wanted = []
    for rows in sales:
        for number, line in enumerate(rows, 1):
            sale, _, item, units, *_ = line.split(",")
            wanted.append((sale, number, item, int(units)))
    assert answered(shop, LINES) == sorted(wanted)
    assert Counter(number for _, number, *_ in wanted)[2] > 20
    assert int(replaying.compare(settings.load(shop))["differing_count"].sum()) == 0


def test_a_line_that_comes_back_corrected_keeps_its_number(shop: Path) -> None:
    text = HEAD + "A,2026-10-01,pole,1,9.00,3.00\nA,2026-10-01,shade,O,9.00,2.00\nA,2026-10-01,mirror,1,9.00,1.00\n"
    (path,) = put(shop, {"sales-1.csv": text.replace(",O,", ",2,").encode()})
    assert mapped(shop, path) == 0
    path.write_text(text)
    config = settings.load(shop)
    (landed,) = import_files(config, None, now=NOW)
    assert (landed.accepted_count, landed.rejected_count) == (2, 1)
    with warehouse.reading(config) as connection:
        ((exported, _),) = export(connection, config, NOW)
    back = shop / "inbox" / exported.name
    back.write_text(exported.read_text(encoding="utf-8-sig").replace(",O,", ",2,"))
    import_files(config, None, now=NOW)
    assert answered(shop, LINES) == [("A", 1, "pole", 1), ("A", 2, "shade", 2), ("A", 3, "mirror", 1)]


def test_rows_are_counted_within_one_column(shop: Path) -> None:
    columns = 'sale_id = "Order"\nline_number = {within = "Order"}\nquantity = {within = "Item"}\n'
    source = '[[source]]\nname = "s"\nkind = "sales"\nfiles = "s*"\n[source.columns]\n'
    (shop / settings.FILE_NAME).write_text(f'[shop]\ncurrency = "EUR"\n{source}{columns}')
    with pytest.raises(SettingsError, match="rows are counted within 'Item' and 'Order'"):
        settings.load(shop)


def test_a_word_in_another_case_is_asked_once_and_read_alike(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    head = "Order,Line,Paid on,Item,Units,Unit price,Postage,Order status\n"
    row = "{0},1,2026-10-0{1},pole,1,9.00,3.00,{2}\n"
    words, others = ("Gone", "GONE", "Sold", "sold"), ("gone", "SOLD", "Lost")
    first = head + "".join(row.format(f"A{at}", at, word) for at, word in enumerate(words, 1))
    later = head + "".join(row.format(f"B{at}", at, word) for at, word in enumerate(others, 1))
    paths = put(shop, {"sales-1.csv": first.encode(), "sales-2.csv": later.encode()})
    assert mapped(shop, paths[0]) == 3
    assert capsys.readouterr().out.count("? What does") == 1
    said = ["--word", "sale_state:GONE=cancelled", "--write"]
    assert main(["--shop", str(shop), "map", str(paths[0]), *said]) == 0
    first_file, second_file = import_files(settings.load(shop), None, now=NOW)
    assert (first_file.accepted_count, second_file.accepted_count, second_file.rejected_count) == (4, 2, 1)
    states = "select sale_id, sale_state from accepted.sales where sale_state = 'cancelled' order by 1"
    assert [sale for sale, _ in answered(shop, states)] == ["A1", "A2", "B1"]
