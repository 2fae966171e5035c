"""The reviews folder: pages found by month, and the index that lists them."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from pipelines.review.month_review import reviewed, written
from tests.dashboards.markup import parsed


def test_only_pages_of_a_month_are_found(tmp_path: Path) -> None:
    names = ("review-2026-09.html", "review-2026-10.html", "review-2026-99.html", "review-2026-10.xlsx", "index.html")
    written(tmp_path, dict.fromkeys(names, b""))
    assert reviewed(tmp_path) == {date(2026, 9, 1): "review-2026-09.html", date(2026, 10, 1): "review-2026-10.html"}
    assert reviewed(tmp_path / "nothing") == {}


def test_a_review_is_listed_and_leads_back_to_the_list(demo_folder: Path) -> None:
    index = parsed((demo_folder / "reviews" / "index.html").read_text(encoding="utf-8"))
    links = [each.attributes["href"] for each in index.all("a")]
    assert "./review-2026-10.html" in links
    page = (demo_folder / "reviews" / "review-2026-10.html").read_text(encoding="utf-8")
    assert 'href="./index.html">All months' in page
