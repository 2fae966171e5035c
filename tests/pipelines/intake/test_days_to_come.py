"""A count of cartons on a day that is still to come is rejected, can be sent again, and is replayed as it was."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from models.dictionary import rule_lines
from models.reference import RECORDS
from models.shop_units import Units
from pipelines.intake import replaying
from pipelines.intake.importing import import_files
from pipelines.shop.settings import ColumnSource
from tests.pipelines.intake.small_shop import NOW, SmallShop, source

COLUMNS = ("carton_code", "effective_from", "inside_length_in", "inside_width_in", "inside_height_in")
MAPPED = {name: ColumnSource(name, unit="in") if name.endswith("_in") else name for name in COLUMNS}
CARTONS = source(
    "boxes",
    "cartons",
    "boxes*",
    {**MAPPED, "unit_cost_cents": "Price", "on_hand": "Stock", "counted_on": "Counted"},
    decimal=".",
    date_order="ymd",
)
HEAD = ",".join((*COLUMNS, "Price", "Stock", "Counted")) + "\n"
TODAY, TOMORROW = "2026-11-20", "2026-11-21"


def row(code: str, counted_on: str) -> str:
    return f"{code},2026-01-01,47,7,7,2.85,120,{counted_on}\n"


def test_a_count_to_come_is_rejected_alone(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [CARTONS])
    taken = shop.take_one("boxes.csv", HEAD + row("C-1", TODAY) + row("C-2", TOMORROW) + row("C-3", ""))
    assert (taken.accepted_count, taken.rejected_count) == (2, 1)
    reason = "is later than the import on 2026-11-20: correct the day, or import the row again when it is over"
    assert shop.rejected() == [(2, "counted_on", reason)]
    assert shop.rows("select carton_code from accepted.cartons order by 1") == [("C-1",), ("C-3",)]


def test_the_same_row_is_taken_once_its_day_has_come(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [CARTONS])
    shop.take_one("boxes.csv", HEAD + row("C-2", TOMORROW))
    shop.put("boxes-2.csv", HEAD + row("C-2", TOMORROW) + row("C-9", TODAY))
    (taken,) = import_files(shop.settings, [shop.settings.path("inbox") / "boxes-2.csv"], now=NOW.replace(day=21))
    assert taken.accepted_count == 2


def test_the_day_of_the_import_is_the_shops(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [CARTONS])
    shop.shop = replace(shop.shop, time_zone="Pacific/Auckland")
    shop.put("boxes.csv", HEAD + row("C-2", TOMORROW))
    noon = datetime.fromisoformat("2026-11-20T12:00:00+00:00")
    (taken,) = import_files(shop.settings, now=noon)
    assert taken.accepted_count == 1


def test_replayed_as_it_was(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [CARTONS])
    shop.take_one("boxes.csv", HEAD + row("C-1", TODAY) + row("C-2", TOMORROW))
    assert replaying.compare(shop.settings)["differing_count"].sum() == 0
    (entry,) = (tmp_path / "archive").glob("delivery-*.json")
    assert json.loads(entry.read_text())["imported_on"] == TODAY


def test_the_dictionary_says_so() -> None:
    assert "counted_on is later than the day of the import" in rule_lines(RECORDS["cartons"], Units("USD"))
