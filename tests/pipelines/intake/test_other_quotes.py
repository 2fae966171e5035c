"""Cells in other quotes than those of CSV: taken off where a column proves them, else rejected or stated."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.pipelines.intake.test_text_structure import HEAD, THREE, shop_of


@pytest.mark.parametrize("quotes", ["''", "“”", "«»", "„“"])
def test_other_quotes_are_taken_off_where_they_enclose_every_cell_of_a_column(tmp_path: Path, quotes: str) -> None:
    opened, closed = quotes[0], quotes[1]
    shop = shop_of(tmp_path, columns={**THREE.columns})
    kinds = (f"{opened}tube{closed}", f" {opened}mount{closed} ", "", f"{opened}tripod, long{closed}")
    delivery = shop.take_one("skus.csv", HEAD + "".join(f"S-{at},{kind},1\n" for at, kind in enumerate(kinds)))
    # The blank cell is missing; the comma within quotes that are none for CSV makes a cell too many.
    assert shop.accepted() == [("S-0", "tube"), ("S-1", "mount")] and delivery.rejected_count == 2
    assert any(note.startswith(f"the quotes {opened} {closed} around the cells of") for note in delivery.notes)


@pytest.mark.parametrize(
    ("kinds", "stated", "stored"),
    [
        (("'tube'", "mount", "'pole'"), None, ["mount"]),
        (("'tube'", "'mount'", "“pole”"), None, []),
        (("'tube'", "mount", "'pole'"), "'", ["mount", "pole", "tube"]),
        (("'tube'", "'mount'", "'pole'"), "", ["'mount'", "'pole'", "'tube'"]),
        (("'tube'", "'mount'", "'po'le'"), None, ["mount", "tube"]),
    ],
    ids=["a bare cell among them", "two kinds", "the quote is stated", "quotes are text", "a quote within"],
)
def test_other_quotes_that_prove_nothing_cost_their_rows_unless_the_quote_is_stated(
    tmp_path: Path, kinds: tuple[str, ...], stated: str | None, stored: list[str]
) -> None:
    shop = shop_of(tmp_path, columns={**THREE.columns}, quote=stated)
    delivery = shop.take_one("skus.csv", HEAD + "".join(f"S-{at},{kind},1\n" for at, kind in enumerate(kinds)))
    assert sorted(kind for _, kind in shop.accepted()) == stored
    assert delivery.rejected_count == 3 - len(stored)
