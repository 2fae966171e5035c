"""A box drawn in space, as a browser shows it: on a narrow page all of it, and no less than the page has room for."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.dashboards.test_page_in_browser import browser  # noqa: F401  (a fixture)
from tests.dashboards.test_placements import SENT, page

pytestmark = [pytest.mark.browser, pytest.mark.slow]
ASKED = """() => { const drawing = document.querySelector(".drawing");
    return [drawing.clientWidth, drawing.layout.meta.width_px, drawing.layout.scene.aspectratio.x,
            document.documentElement.scrollWidth]; }"""


@pytest.mark.parametrize("width", [360, 390, 768, 1280])
def test_a_narrow_page_shows_the_whole_box(browser: Any, tmp_path: Path, width: int) -> None:  # noqa: F811
    file = tmp_path / "placement.html"
    file.write_text(page([SENT]), encoding="utf-8")
    tab = browser.new_page(viewport={"width": width, "height": 800})
    tab.goto(file.as_uri())
    tab.wait_for_selector(".drawing.js-plotly-plot")
    wide = browser.new_page(viewport={"width": 1280, "height": 800})
    wide.goto(file.as_uri())
    wide.wait_for_selector(".drawing.js-plotly-plot")
    room, needed, length, scrolled = tab.evaluate(ASKED)
    assert length / wide.evaluate(ASKED)[2] == pytest.approx(min(1.0, room / needed))
    assert scrolled <= width
    assert (room < needed) is (width < 500)
    tab.close(), wide.close()
