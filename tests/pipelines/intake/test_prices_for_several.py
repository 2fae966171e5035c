"""Cartons bought by the hundred: a list that prices so many costs each piece a hundredth."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipelines.cli import main
from pipelines.intake.importing import import_files
from pipelines.shop import settings
from tests.pipelines.intake.small_shop import NOW
from tests.pipelines.intake.test_joining import answered, put

HEAD = "Box,Internal L cm,Internal W cm,Internal H cm,{price},Bundle of\n"
LIST = f"{HEAD}P190,190,12,12,610.00,50\nC52,53,53,38,535.45,25\n"


@pytest.mark.parametrize(
    ("header", "cents"), [("Price per 100", [535, 610]), ("Price EUR/10", [5355, 6100]), ("Price each", [53545, 61000])]
)
def test_the_price_of_one_piece(tmp_path: Path, header: str, cents: list[int]) -> None:
    (tmp_path / settings.FILE_NAME).write_text('[shop]\ncurrency = "EUR"\n')
    (tmp_path / "inbox").mkdir()
    (path,) = put(tmp_path, {"boxes.csv": LIST.format(price=header).encode()})
    mapped = ["--shop", str(tmp_path), "map", str(path), "--constant", "effective_from=2026-01-01", "--write", "--yes"]
    assert main(mapped) == 0
    (landed,) = import_files(settings.load(tmp_path), None, now=NOW)
    assert (landed.error, landed.rejected_count) == (None, 0)
    assert answered(tmp_path, "select unit_cost_cents from accepted.cartons order by all") == [
        (each,) for each in cents
    ]
