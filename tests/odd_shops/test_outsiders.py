"""A shop like nobody's against its ledger, and every sentence of every surface of it accounted for.

`python -m tests.benchmarks outsiders` does the same with all five.
"""

from __future__ import annotations

import contextlib
import io
from pathlib import Path

import pytest

from pipelines.cli import main
from tests.odd_shops import accounted, surfaces, walking
from tests.odd_shops.ledger import Ledger, wrong_figures
from tests.odd_shops.outsiders import bells, reviewed

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Ledger]:
    folder = tmp_path_factory.mktemp("outsiders") / "bells"
    return folder, reviewed(folder, bells)


def test_every_figure_is_the_ledgers(made: tuple[Path, Ledger]) -> None:
    folder, books = made
    seen = walking.page(folder / "reviews" / f"review-{books.month:%Y-%m}.html")
    assert list(wrong_figures(books, seen)) == []


def test_every_sentence_is_an_entry_or_a_columns_meaning(made: tuple[Path, Ledger]) -> None:
    folder, books = made
    said = list(surfaces.written(folder, f"{books.month:%Y-%m}"))
    assert len({surface for surface, _ in said}) > 25
    assert accounted.strange(said) == []


def test_the_ledger_finds_what_is_wrong(made: tuple[Path, Ledger]) -> None:
    """A parcel of another zone that the page does not know, and a cent too much."""
    folder, books = made
    seen = walking.page(folder / "reviews" / f"review-{books.month:%Y-%m}.html")
    other = Ledger(books.month, entries=[*books.entries])
    other.add(books.month, "колокол", "Ost", parcels=1, charged=1)
    found = " ".join(wrong_figures(other, seen))
    assert "Parcels is 33, not 34" in found and "groups are ['Nord', 'Süd'], not ['Nord', 'Ost', 'Süd']" in found


def test_the_walk_finds_what_is_nobodys() -> None:
    made_up = ("page", "Fernmoor sold most in May. No damage claim is on record. It was a good month for tubes.")
    assert list(accounted.unaccounted([made_up])) == [
        ("page", "Fernmoor sold most in May."),
        ("page", "It was a good month for tubes."),
    ]
    odd = [("watch", "0 of 0 parcels"), ("status", "nan"), ("page", "Zone: unknown"), ("page", "100.0% of 40 parcels")]
    assert list(accounted.odd_words(odd)) == odd
    assert list(accounted.odd_words([("page", "70 of 90 parcels, 100 of 100.00"), ("claim", "0 of 14.")])) == []


def test_commands_that_have_nothing_say_so(made: tuple[Path, Ledger], tmp_path: Path) -> None:
    """Nothing is listed with a heading alone, and an announced tariff that changes nothing has no crossing."""
    folder, _ = made
    with contextlib.redirect_stdout(io.StringIO()) as out:
        assert main(["--shop", str(folder), "bench-sheets"]) == 0
        assert main(["--shop", str(folder), "bench-list"]) == 0
    assert " ".join(out.getvalue().split()) == (
        "There is no bench sheet yet: it needs packed sides of item types, packing methods, cartons, and parcels "
        "of one piece that a tariff prices. "
        "Nothing waits for the bench: no label or sale within 7 days of the last on record is without a bench row."
    )
