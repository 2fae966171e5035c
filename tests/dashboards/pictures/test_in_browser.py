"""Pictures as a browser lays them out: no text meets another, one width of each is shown, colours follow the page."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from dashboards import palette
from dashboards.review import render
from tests.dashboards import shop
from tests.dashboards.test_page_in_browser import browser  # noqa: F401  (a fixture)

pytestmark = [pytest.mark.browser, pytest.mark.slow]
# Boxes of letters overhang their line a little; four pixels are less than the gap of two lines.
MEETING = """() => [...document.querySelectorAll(".picture")].filter((at) => at.clientWidth > 0).flatMap((picture) => {
  const boxes = [...picture.querySelectorAll("text")].map((text) => [text.textContent, text.getBoundingClientRect()]);
  const meets = (a, b) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 4 && b.top < a.bottom - 4;
  return boxes.flatMap(([one, a], at) =>
    boxes.slice(at + 1).filter(([, b]) => meets(a, b)).map(([two]) => [one, two]));
})"""
SHOWN = """() => [...document.querySelectorAll(".drawing")].map((drawing) =>
  [...drawing.querySelectorAll(".picture")].filter((each) => each.getClientRects().length).map((each) =>
    each.classList.contains("desk") ? "desk" : "phone").join())"""


@pytest.fixture(scope="module")
def page(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:  # noqa: F811
    file: Path = tmp_path_factory.mktemp("pictures") / "review.html"
    file.write_text(render(shop.review()), encoding="utf-8")
    tab = browser.new_page(viewport={"width": 1280, "height": 900})
    tab.goto(file.as_uri())
    # A folded part is laid out as well, so that its pictures can be measured.
    tab.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    yield tab
    tab.close()


@pytest.mark.parametrize(("width", "kind"), [(1280, "desk"), (390, "phone")])
def test_one_width_of_each_picture_is_shown_and_no_text_meets_another(page: Any, width: int, kind: str) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    shown = page.evaluate(SHOWN)
    assert len(shown) >= 15
    assert set(shown) == {kind}
    assert page.evaluate(MEETING) == []
    page.set_viewport_size({"width": 1280, "height": 900})


@pytest.mark.parametrize(
    ("media", "tones"),
    [
        ({"color_scheme": "light"}, palette.LIGHT),
        ({"color_scheme": "dark"}, palette.DARK),
        ({"media": "print", "color_scheme": "dark"}, palette.LIGHT),
    ],
    ids=["light", "dark", "print"],
)
def test_colours_follow_the_page_and_paper_is_light(page: Any, media: dict[str, str], tones: dict[str, str]) -> None:
    page.emulate_media(**media)
    found = page.evaluate("getComputedStyle(document.querySelector('.picture .bad rect')).fill")
    page.emulate_media(media="null", color_scheme="light")
    assert found == "rgb({}, {}, {})".format(*(int(tones["loss"][at : at + 2], 16) for at in (1, 3, 5)))
