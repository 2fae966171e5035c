"""A page as a browser opens it, with all it asked for and complained of; and what is wrong with it for some readers."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from tests.pipelines.served import HANGS

# In thousandths of a second. Of itself the driver gives up after half a minute, which a busy machine may take.
PATIENCE = HANGS * 1_000
NEEDED = (
    "needs headless Chromium (apt-get install chromium) and its driver (pip install playwright axe-playwright-python)"
)


def lacking(reason: str) -> None:
    """Fail where the checks must run, skip elsewhere."""
    if os.environ.get("CI") == "true":
        pytest.fail(f"{reason}: {NEEDED}")
    pytest.skip(f"{reason}: {NEEDED}")


@contextmanager
def chromium() -> Iterator[Any]:
    """A headless browser, closed at the end. Skips or fails where the machine has none."""
    program = shutil.which("chromium")
    if program is None:
        lacking("chromium is not installed")
    try:
        start = import_module("playwright.sync_api").sync_playwright
    except ImportError:
        lacking("playwright is not installed")
    with start() as driver:
        started = driver.chromium.launch(
            executable_path=program, args=["--no-sandbox", "--disable-quic"], timeout=PATIENCE
        )
        yield started
        started.close()


class Visit:
    """A page opened from its file, with everything it asked for and complained of."""

    def __init__(self, browser: Any, file: Path) -> None:
        self.requests: list[str] = []
        self.complaints: list[str] = []
        self.page = browser.new_page(viewport={"width": 1280, "height": 900})
        self.page.set_default_timeout(PATIENCE)
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.on("console", lambda message: self.complaints.append(message.text))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("dialog", self.complain_of_dialog)
        self.page.goto(file.as_uri())

    def complain_of_dialog(self, dialog: Any) -> None:
        """A dialog opens only if a cell's text ran."""
        self.complaints.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    def counts(self, part: str) -> tuple[int, int]:
        """Rows of the part's table that show, and its bars or points that are drawn."""
        marks = f"#{part} .picture.desk .mark:not([hidden])"
        rows = f"#{part}-table tr[data-row]:not([hidden])"
        return self.page.locator(rows).count(), self.page.locator(marks).count()

    def hide_rows_alike(self) -> None:
        """Of each table's rows whose elements have the same classes one stays: their colours are the same."""
        self.page.evaluate(
            """document.querySelectorAll('tbody').forEach(body => {
                const seen = new Set();
                [...body.rows].forEach((row, at) => {
                    const parts = [row, ...row.querySelectorAll('*')];
                    const kind = at % 2 + parts.map(each => each.tagName + each.getAttribute('class')).join();
                    row.style.display = seen.has(kind) ? 'none' : '';
                    seen.add(kind);
                });
            })"""
        )

    def reset(self) -> None:
        """Back to how the page was opened."""
        self.page.set_viewport_size({"width": 1280, "height": 900})
        self.page.emulate_media(media="null", color_scheme="light")
        self.page.evaluate("document.querySelectorAll('form').forEach(form => form.reset())")
        self.page.wait_for_function("[...document.querySelectorAll('.filter-state')].every(each => !each.textContent)")
        self.page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = false })")
        self.page.evaluate("document.querySelectorAll('tbody tr').forEach(row => { row.style.display = '' })")
        self.page.evaluate(
            "document.body.tabIndex = -1; document.body.focus(); document.body.removeAttribute('tabindex')"
        )


def faults(visit: Visit, *rules: str) -> list[tuple[str, str]]:
    """What the rules of the open library axe-core find; all of them if none is named."""
    try:
        axe = import_module("axe_playwright_python.sync_playwright").Axe()
    except ImportError:
        lacking("axe-playwright-python is not installed")
    found = axe.run(visit.page, options={"runOnly": list(rules)} if rules else None).response["violations"]
    return [(each["id"], each["nodes"][0]["html"][:200]) for each in found]
