from __future__ import annotations

import datetime as dt

from dashboards.index import render_index
from models.shop_units import Units
from tests.dashboards import shop
from tests.dashboards.markup import parsed
from tests.dashboards.test_review import cells, origin, reads_as

FILES = {dt.date(2026, month, 1): f"review-2026-{month:02}.html" for month in (8, 9, 10)}


def test_months_stand_newest_first_with_their_links_and_figures() -> None:
    months = shop.tables()["marts.shipping_margin"]
    root = parsed(render_index("Fernmoor Optics", Units("USD"), months, FILES, shop.MADE_AT))
    links = [each for each in root.all("a") if each.attributes["href"].startswith("./")]
    assert [each.text() for each in links] == ["October 2026", "September 2026", "August 2026"]
    assert links[0].attributes["href"] == "./review-2026-10.html"
    shown = cells(root)
    assert len(shown) == 15
    for cell in shown:
        value = origin(cell, {"marts.shipping_margin": months})
        assert reads_as(cell.text(), value, cell.attributes["data-column"])


def test_an_index_without_months_says_so() -> None:
    empty = shop.tables()["marts.shipping_margin"].iloc[:0]
    for months, files in ((empty, FILES), (shop.tables()["marts.shipping_margin"], {})):
        root = parsed(render_index("Fernmoor Optics", Units("USD"), months, files, shop.MADE_AT))
        assert "No month has been reviewed yet." in root.text()
        assert root.all("table") == []


def test_index_runs_no_script_and_escapes_names() -> None:
    months = shop.tables()["marts.shipping_margin"]
    text = render_index("<script>alert(1)</script>", Units("USD"), months, FILES, shop.MADE_AT)
    assert parsed(text).all("script") == []
    assert "script-src 'none'" in parsed(text).all("meta")[1].attributes["content"]
