"""Labels of pictures as a browser lays them out: none meets another, none leaves the page, whatever the names."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from dashboards.review import render
from tests.benchmarks.bench_page import many_item_types
from tests.dashboards import shop
from tests.dashboards.visits import Visit, chromium

# Compounds and phrases longer than any label has room for.
LONG_NAMES = ("Fernrohrdreibeinstativverlängerung", "monture équatoriale allemande en bois massif de noyer")
pytestmark = [pytest.mark.browser, pytest.mark.slow]
# Words of a picture whose boxes, less a fifth of their height above and below, meet another's or leave the page.
MEETING = """() => [...document.querySelectorAll("svg.picture")].flatMap((svg) => {
  const boxes = [...svg.querySelectorAll("text")]
    .filter((text) => text.textContent.trim() && text.getClientRects().length)
    .map((text) => ({ text: text.textContent, at: text.getBoundingClientRect() }));
  const meet = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 &&
    Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 0.2 * (a.height + b.height);
  const out = ({ at }) => at.left < -1 || at.right > document.documentElement.clientWidth + 1;
  return boxes.flatMap((one, i) => [
    ...boxes.slice(0, i).filter((other) => meet(one.at, other.at)).map((other) => one.text + " | " + other.text),
    ...(out(one) ? [one.text + " | edge"] : []),
  ]);
})"""


@pytest.fixture(scope="module")
def visits(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Visit]]:
    """The page of the shop, and that of one with hundreds of item types of long names."""
    folder = tmp_path_factory.mktemp("pages")
    tables = {"plain": shop.tables(), "many": many_item_types(LONG_NAMES)}
    with chromium() as browser:
        for name, each in tables.items():
            (folder / f"{name}.html").write_text(render(shop.review(tables=each)), encoding="utf-8")
        yield {name: Visit(browser, folder / f"{name}.html") for name in tables}


@pytest.mark.parametrize("name", ["plain", "many"])
@pytest.mark.parametrize("width", [390, 1280])
def test_no_label_of_a_picture_meets_another(visits: dict[str, Visit], name: str, width: int) -> None:
    page = visits[name].page
    page.set_viewport_size({"width": width, "height": 844})
    page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true })")
    assert page.locator(".picture:visible text").count() > 200
    assert page.evaluate(MEETING) == []


def test_a_label_that_meets_another_is_seen(visits: dict[str, Visit]) -> None:
    page = visits["plain"].page
    page.set_viewport_size({"width": 1280, "height": 844})
    page.evaluate("document.querySelectorAll('#waterfall .desk text')[1].setAttribute('y', '46.5')")
    assert page.evaluate(MEETING)
