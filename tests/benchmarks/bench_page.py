"""The review page of the tests' shop: what stands where, how large it is, how many sheets of paper. Needs Chromium."""

from __future__ import annotations

import shutil
import tempfile
import time
from collections.abc import Iterator, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

import pandas as pd

from dashboards import pages
from dashboards.review import render
from tests.benchmarks.reviewed import page_bytes
from tests.dashboards import shop

Measured = tuple[str, float, float]
ITEM_TYPES, PARCELS = 300, 200_000
EMPTY = '<!doctype html><html lang="en"><head><title>Empty</title><style>{style}</style></head><body></body></html>'
LOADS = 15
DRAWN = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now()))))"


def run() -> Iterator[Measured]:
    """What, measured, limit."""
    plain, large = render(shop.review()), render(shop.review(tables=many_item_types()))
    yield "bytes of the page", float(len(plain.encode())), 1_500_000.0
    yield f"bytes with {ITEM_TYPES} item types", float(len(large.encode())), 3_000_000.0
    yield f"bytes with {PARCELS:,} parcels", float(page_bytes(PARCELS)), 3_000_000.0
    start = import_module("playwright.sync_api").sync_playwright
    with tempfile.TemporaryDirectory() as folder, start() as driver:
        file = Path(folder) / "page.html"
        file.write_text(plain, encoding="utf-8")
        browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page()
        yield from _laid_out(page, file)
        empty = Path(folder) / "empty.html"
        empty.write_text(EMPTY.format(style=pages.style_sheet()), encoding="utf-8")
        open_ratio = _ready(page, file) / _ready(page, empty)
        started = [min(_started(driver, each) for _ in range(5)) for each in (file, empty)]
        yield (
            "from starting the browser until ready, over an empty page of the same style",
            started[0] / started[1],
            1.5,
        )
        yield "the same in a browser that is open", open_ratio, 6.0
        browser.close()


def many_item_types(words: Sequence[str] = ("",)) -> dict[str, pd.DataFrame]:
    """The shop's tables with hundreds of item types in each that names them. words: that their names begin with."""
    return {
        name: pd.concat(
            [
                rows.assign(item_type=f"{words[at % len(words)]} " + rows["item_type"] + f" {at}")
                for at in range(ITEM_TYPES // 5)
            ]
        )
        if "item_type" in rows.columns and name != "marts.parcel_costs" and len(rows) < 5_000
        else rows
        for name, rows in shop.tables().items()
    }


def _laid_out(page: Any, file: Path) -> Iterator[Measured]:
    for width, height, screens in ((1280, 900, 12.0), (390, 844, 27.0)):
        page.set_viewport_size({"width": width, "height": height})
        page.goto(file.as_uri())
        yield f"screens at {width}", page.evaluate("document.documentElement.scrollHeight") / height, screens
        yield f"first picture at {width}, pixels from the top", _top(page, ".picture:visible"), 600.0
        yield f"causes at {width}, pixels from the top", _top(page, ".why"), float(height)
    yield "pages of paper", float(page.pdf(format="A4").count(b"/Type /Page\n")), 12.0


def _ready(page: Any, file: Path) -> float:
    """Milliseconds from the request until the page is loaded and drawn once, the quickest of several loads."""

    def once() -> float:
        page.goto("about:blank")
        page.goto(file.as_uri())
        return float(page.evaluate(DRAWN))

    return min(once() for _ in range(LOADS))


def _started(driver: Any, file: Path) -> float:
    """Seconds from starting the browser, as a file that is opened does, until the page is drawn once."""
    begun = time.perf_counter()
    browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
    page = browser.new_page()
    page.goto(file.as_uri())
    page.evaluate(DRAWN)
    seconds = time.perf_counter() - begun
    browser.close()
    return seconds


def _top(page: Any, selector: str) -> float:
    box: dict[str, float] | None = page.locator(selector).first.bounding_box()
    return box["y"] if box else float("inf")
