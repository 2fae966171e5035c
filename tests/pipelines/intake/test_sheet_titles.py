"""Titles and groups above the headers of a workbook."""

from __future__ import annotations

import io
from datetime import date
from pathlib import Path

import pytest
from openpyxl import Workbook

from tests.pipelines.intake.small_shop import SKUS, SmallShop, renamed


def shop_in(folder: Path) -> SmallShop:
    return SmallShop(folder, [renamed(SKUS, format="xlsx")])


def _sheet(*rows: list[object]) -> bytes:
    made, out = Workbook(), io.BytesIO()
    for cells in rows:
        made.active.append(cells)
    made.save(out)
    return out.getvalue()


@pytest.mark.parametrize(
    "above",
    [
        [["Stock list"]],
        [["Stock list"], []],
        [["Account", "4711"], ["Made on", date(2026, 5, 1)]],
        [["Goods", None, "Place"]],
    ],
)
def test_titles_and_groups_above_the_mapped_headers_are_passed_over(tmp_path: Path, above: list[list[object]]) -> None:
    shop = shop_in(tmp_path)
    head: list[object] = ["Stock no", "Kind", "Shelf", "Side"]
    delivery = shop.take_one("skus.xlsx", _sheet(*above, head, ["A", "tripod", 1, "left"]))
    assert (delivery.row_count, shop.accepted()) == (1, [("A", "tripod")])
    count = len([row for row in above if row])
    shown = "1 line above the header was" if count == 1 else f"{count} lines above the header were"
    assert f"{shown} passed over" in delivery.notes


def test_records_above_the_mapped_headers_are_no_titles(tmp_path: Path) -> None:
    rows: list[list[object]] = [["Z", "tube", 1], ["Stock no", "Kind", "Shelf"], ["A", "tripod", 1]]
    assert "has no column 'Stock no'" in shop_in(tmp_path).refused("skus.xlsx", _sheet(*rows))
