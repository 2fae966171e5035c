"""Texts of one column with both decimal marks: the same answer in every format."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.pipelines.intake.small_shop import SmallShop, renamed
from tests.pipelines.intake.test_decimal_marks import HEADERS, OPEN, WAYS, parquet
from tests.pipelines.intake.test_formats import workbook

TEXTS: list[tuple[str, Callable[[list[str]], bytes]]] = [
    (
        "csv",
        lambda cells: "\n".join([";".join(HEADERS), *(f"{at};1;{cell}" for at, cell in enumerate(cells))]).encode(),
    ),
    ("xlsx", lambda cells: workbook((HEADERS, *((str(at), 1, cell) for at, cell in enumerate(cells))))),
    (
        "json",
        lambda cells: json.dumps(
            [{"Way": str(at), "Room": 1, "Price": cell} for at, cell in enumerate(cells)]
        ).encode(),
    ),
    (
        "parquet",
        lambda cells: parquet({"Way": list(map(str, range(len(cells)))), "Room": [1] * len(cells), "Price": cells}),
    ),
]


@pytest.mark.parametrize(("form", "written"), TEXTS, ids=[form for form, _ in TEXTS])
def test_texts_that_prove_both_marks_leave_the_others_open_in_every_format(
    tmp_path: Path, form: str, written: Callable[[list[str]], bytes]
) -> None:
    shop = SmallShop(tmp_path, [renamed(WAYS, format=form)])
    shop.take_one("c", written(["12.50", "12,50", "1.500", "1,500"]))
    assert shop.rows("select packing_method, material_cents from accepted.packing_methods order by 1") == [
        ("0", 1250),
        ("1", 1250),
    ]
    assert [(row, reason) for row, _, reason in shop.rejected()] == [
        (3, f"has a point that {OPEN}"),
        (4, f"has a comma that {OPEN}"),
    ]
