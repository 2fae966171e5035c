"""A carrier's sheet of prices becomes a price file, whatever its layout and marks; what it does not prove is asked."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook

from models.errors import TariffError
from models.tariffs.price_sheets import Asked, rows_of
from pipelines import cli

EXPECTED = [("std", "1", "2", "520"), ("std", "2", "2", "650"), ("std", "1", "30", "1234"), ("std", "2", "30", "")]
MATRIX = [["", "Zone 1", "Zone 2"], ["to 2 kg", "5,20", "6,50 €"], ["to 30 kg", "12,34", " "]]


def turned(grid: list[list[str]]) -> list[list[str]]:
    return [list(column) for column in zip(*grid, strict=True)]


@pytest.mark.parametrize(
    "grid",
    [
        MATRIX,
        turned(MATRIX),
        [["Price list 2026", "", ""], *MATRIX][1:],
        [["kg", "1", "2"], ["0 - 2 kg", "5.20", "$6.50"], ["2 - 30 kg", "12.34", "-"]],
        [["Zone", "Weight", "Price"], ["1", "2", "5.20"], ["2", "2", "6.50"], ["1", "30", "12.34"], ["2", "30", ""]],
    ],
)
def test_every_layout_gives_the_same_rows(grid: list[list[str]]) -> None:
    assert sorted(rows_of(grid, Asked("std"), "sheet")) == sorted(EXPECTED)


@pytest.mark.parametrize(
    ("grid", "words"),
    [
        ([["", "Zone 1"], ["2 kg", "1,234"]], "does not prove its decimal mark"),
        ([["", "Zone 1"], ["2 kg", "520"]], "may be of either unit"),
        ([["", "1", "2"], ["2", "5.20", "6.50"], ["30", "7.20", "8.50"]], "which of its heads are weights"),
        ([["", "Zone 1"], ["2 kg", "5.205"], ["3 kg", "5.20"]], "finer than the currency"),
        ([["", "Zone 1"], ["2 kg", "on request 5 or 6.10"]], "is no price"),
        ([["nothing"]], "holds no prices"),
    ],
)
def test_what_the_sheet_does_not_prove_is_asked(grid: list[list[str]], words: str) -> None:
    with pytest.raises(TariffError, match=words):
        rows_of(grid, Asked("std"), "sheet")


def test_what_is_stated_is_believed() -> None:
    asked = Asked("std", decimal=",", money="minor", weights="rows")
    assert rows_of([["", "1"], ["2,5", "1.234"]], asked, "sheet") == [("std", "1", "2.5", "1234")]
    assert rows_of([["", "1"], ["2", "900"]], Asked("std", digits=0, weights="rows"), "sheet")[0][3] == "900"


def test_the_command_reads_workbooks_and_delimited_files(tmp_path: Path) -> None:
    (tmp_path / "dunnage.toml").write_text("", encoding="utf-8")
    book = Workbook()
    for row in [["", "Zone 1", "Zone 2"], ["to 2 kg", 5.2, 6.5], ["to 30 kg", 12.34, None]]:
        book.active.append(row)
    book.save(tmp_path / "sheet.xlsx")
    lines = [";".join(row) for row in MATRIX]
    (tmp_path / "sheet.csv").write_text("\n".join(lines), encoding="utf-8")
    for name in ("sheet.xlsx", "sheet.csv"):
        out = tmp_path / f"{name}.prices"
        code = cli.main(
            ["--shop", str(tmp_path), "tariff", "import", str(tmp_path / name), str(out), "--service", "std"]
        )
        assert code == 0
        header, *rows = out.read_text(encoding="utf-8").splitlines()
        assert header == "service,zone,up_to_weight,price_cents"
        assert sorted(rows) == sorted(",".join(row) for row in EXPECTED)
