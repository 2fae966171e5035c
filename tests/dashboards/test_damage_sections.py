"""Damage by packing method: what its tables show of all that is on record, and what they say is not shown."""

from __future__ import annotations

from typing import Any

from dashboards.panels import Panel
from dashboards.review import render
from dashboards.review_tables import Review
from dashboards.sections.damage_corrected import SECTION
from dashboards.template_parts import PartView
from dashboards.views import view
from tests.dashboards import shop
from tests.dashboards.markup import by_id, parsed
from tests.dashboards.sentences.cases import rows

RATES, PAIRS = "analysis.damage_rates", "analysis.method_comparison"
METHODS = ("cork", "straw", "wool")


def reviewed(table: str, *cells: dict[str, Any]) -> Review:
    return shop.review(tables={**shop.tables(), **rows(table, *cells)})


def seen(name: str, review: Review) -> PartView:
    part = next(each for each in SECTION.parts if each.name == name)
    assert isinstance(part, Panel)
    return view(part, review)


def pair(claims: int, method: str) -> dict[str, Any]:
    return {"method_a": "felt", "method_b": method, "claim_count": claims, "crude_ratio": 27.9, "pooled_ratio": 1.3}


def test_methods_without_a_claim_between_them_have_no_ratio_in_table_or_picture() -> None:
    found = seen("damage-pairs", reviewed(PAIRS, pair(0, "cork"), pair(1, "straw"), pair(2, "wool")))
    assert [[cell.text for cell in line.cells[:3]] for line in found.lines] == [
        ["felt", "straw", "1"],
        ["felt", "wool", "2"],
    ]
    assert found.picture is not None
    assert {mark.row for mark in found.picture.marks} == {1, 2}


def test_where_no_pair_has_a_claim_the_page_says_so_in_place_of_ratios() -> None:
    root = parsed(render(reviewed(PAIRS, pair(0, "cork"), pair(0, "wool"))))
    assert "has a claim that counts, so no ratio is given" in by_id(root, "chapter-damage").text()
    assert not [each for each in root.all("article") if each.attributes.get("id") == "damage-pairs"]


def test_rates_of_methods_not_known_are_counted_where_the_table_leaves_them_out() -> None:
    """Two item types by three methods and by one that nobody wrote down; goods that nobody knows were left out, too."""
    known = [{"item_type": item, "packing_method": method} for item in ("bell", "lamp") for method in METHODS]
    unknown = [{"item_type": item, "packing_method": "unknown"} for item in ("bell", "lamp", "unknown")]
    part = seen("damage-rates", reviewed(RATES, *known, *unknown))
    assert (len(part.lines), part.left_out) == (6, 3)
    said = by_id(parsed(render(reviewed(RATES, *known, *unknown))), "damage-rates").text()
    assert "The first 6 rows" in said and "All 6 rows" not in said
    assert f"3 more rows: in the workbook, and by dunnage export {RATES}" in said
    assert seen("damage-rates", reviewed(RATES, *known)).left_out == 0
