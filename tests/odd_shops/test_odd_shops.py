"""A shop of sales and bills alone, through the command line: every figure is the books', none is made of nothing.

`python -m tests.benchmarks odd_shops` does the same with all twelve.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.odd_shops import judging, reviewing, walking
from tests.odd_shops.plans import PLANS
from tests.odd_shops.trade import shop

pytestmark = pytest.mark.slow
PLAN = PLANS["sales and charges only"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return reviewing.reviewed(tmp_path_factory.mktemp("odd") / "shop", shop(PLAN))


def test_nothing_stands_empty_and_no_zero_or_share_is_made_of_nothing(folder: Path) -> None:
    assert walking.faults(PLAN, folder) == {}


def test_every_figure_and_every_box_is_as_the_books_say(folder: Path) -> None:
    seen = walking.page(reviewing.page_of(folder, PLAN))
    assert list(judging.wrong_figures(shop(PLAN), seen)) == []
    assert list(judging.untrue_sentences(shop(PLAN), seen)) == []
    assert seen.text.count("Without them no bill could be checked") == 1


def test_the_walk_finds_what_is_wrong() -> None:
    """A page as it once stood: a rate of eighteen parcels, cartons of a shop that has none, a column of unknowns."""
    heads = ["Item type", "Parcels", "Cartons", "Share of parcels", "Carton", "Adjustments"]
    table = walking.Table("once", heads, [["oar", "18", "$0.00", "22%", "not known", "$0.00"]])
    assert sorted(walking.table_faults(PLAN, table)) == [
        "column of zero money: once: Adjustments",
        "column without a figure: once: Carton",
        "share of few: once: Share of parcels",
        "zero for absent: once: Cartons",
    ]
    seen = walking.Walk(
        sentences={"header": ["In October 2026 shipping lost money"], "headline": ["x: -$9.99 on 18 parcels"]}
    )
    assert "page: verdict on a month of few parcels" in list(walking.page_faults(PLAN, seen))
    assert len(list(judging.untrue_sentences(shop(PLAN), seen))) >= 4
