"""Decimal marks in formats with numbers of their own: texts prove theirs, a number's point proves nothing."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pipelines.intake import replaying
from tests.pipelines.intake.small_shop import SmallShop, lines, renamed
from tests.pipelines.intake.test_decimal_marks import HEADERS, WAYS, parquet
from tests.pipelines.intake.test_formats import workbook

TYPED: list[tuple[str, Callable[[list[tuple[Any, ...]]], bytes]]] = [
    ("csv", lambda rows: lines([HEADERS, *rows], ";").encode()),
    ("xlsx", lambda rows: workbook((HEADERS, *rows))),
    ("json", lambda rows: json.dumps([dict(zip(HEADERS, row, strict=True)) for row in rows]).encode()),
    ("jsonl", lambda rows: "\n".join(json.dumps(dict(zip(HEADERS, row, strict=True))) for row in rows).encode()),
    ("parquet", lambda rows: parquet(dict(zip(HEADERS, map(list, zip(*rows, strict=True)), strict=True)))),
]


@pytest.mark.parametrize(("form", "written"), TYPED, ids=[form for form, _ in TYPED])
def test_texts_prove_their_decimal_mark_alike_in_every_format(
    tmp_path: Path, form: str, written: Callable[[list[tuple[Any, ...]]], bytes]
) -> None:
    shop = SmallShop(tmp_path, [renamed(WAYS, format=form)])
    shop.take_one("c", written([("A", "12.5", "12.50"), ("B", "1,500", "1,500")]))
    found = "select packing_method, round(clearance_in * 25.4, 3), material_cents from accepted.packing_methods"
    assert shop.rows(found + " order by all") == [("A", 12.5, 1250), ("B", 1500.0, 150000)]
    assert shop.rejected() == []
    # What was a text is known from the archive too.
    assert not replaying.compare(shop.settings)["differing_count"].any()


@pytest.mark.parametrize(("form", "written"), TYPED[1:-1], ids=[form for form, _ in TYPED[1:-1]])
def test_the_point_of_a_number_says_nothing_of_the_texts_beside_it(
    tmp_path: Path, form: str, written: Callable[[list[tuple[Any, ...]]], bytes]
) -> None:
    shop = SmallShop(tmp_path, [renamed(WAYS, format=form)])
    shop.take_one("c", written([("A", 12.5, 12.5), ("B", "1,500", "3"), ("C", "3", "1,500")]))
    assert [place for _, place, _ in shop.rejected()] == ["clearance_in", "material_cents"]
