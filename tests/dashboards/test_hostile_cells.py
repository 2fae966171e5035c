"""Names that shops did not choose: whatever a cell holds, the page shows it as text and nothing of it runs."""

from __future__ import annotations

from functools import cache

import pandas as pd

from dashboards import figures
from dashboards.review import render
from models.fields import LONGEST_TEXT
from tests.dashboards import shop
from tests.dashboards.markup import Element, parsed
from tests.dashboards.test_review import cells, drawn, page

ATTACKS = (
    "</script><script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    '"><svg onload=alert(1)>',
    "' onmouseover='alert(1)",
    "{{ 7 * 7 }}{% raw %}",
    "<!--<script>",
    "</style><style>*{display:none}",
    "<a href='javascript:alert(1)'>tripod</a>",
    "javascript:alert(1)",
    "&lt;b&gt;&#x3c;",
    "\u202egnp.dopirt\u2066\u200f",
    "tripod\x00\x07\x1b[31m",
    "\u2028alert(1)\u2029",
    "x" * 10_000,
    "telescope " * 1_000,
    "",
)


def spoilt(frame: pd.DataFrame) -> pd.DataFrame:
    """The frame with every name in every text column replaced by an attack; equal names stay equal."""
    frame = frame.copy()
    for column in frame.select_dtypes(include=["str", "object"]):
        names = {name: ATTACKS[at % len(ATTACKS)] for at, name in enumerate(sorted(frame[column].dropna().unique()))}
        frame[column] = frame[column].map(names)
    return frame


@cache
def hostile_text() -> str:
    tables = {name: spoilt(frame) for name, frame in shop.tables().items()}
    return render(shop.review(tables=tables, shop_name=ATTACKS[0], notes=ATTACKS, workbook_name=ATTACKS[8]))


@cache
def hostile_page() -> Element:
    return parsed(hostile_text())


def test_no_cell_adds_an_element_or_an_attribute() -> None:
    harmless = page()
    assert {each.tag for each in hostile_page().walk()} == {each.tag for each in harmless.walk()}
    for element in hostile_page().walk():
        assert not any(name.startswith("on") for name in element.attributes)
        assert not element.attributes.get("href", "").lower().startswith("javascript")
    assert len(hostile_page().all("script")) == len(harmless.all("script"))
    assert len(hostile_page().all("style")) == 1


def test_attacks_are_shown_as_the_text_they_are() -> None:
    text = hostile_page().all("main")[0].text()
    assert "<img src=x onerror=alert(1)>" in text
    assert "{{ 7 * 7 }}" in text
    assert "&lt;b&gt;" in text
    assert "49" not in hostile_page().all("title")[0].text()


def test_no_mark_that_turns_or_hides_text_is_left() -> None:
    shown = (each for each in hostile_page().all("body")[0].walk() if each.tag != "script")
    body = "".join(text for each in shown for text in texts(each))
    assert not set(body) & set("\u202e\u2066\u200f\u2028\u2029\x00\x07\x1b")


def texts(element: Element) -> list[str]:
    return [part for part in element.parts if isinstance(part, str)]


def test_long_names_are_cut_on_the_page() -> None:
    longest = max((len(cell.text()) for cell in cells(hostile_page())), default=0)
    assert longest == LONGEST_TEXT
    assert len(hostile_text()) < 6_000_000


def test_pictures_keep_their_rows() -> None:
    hostile, harmless = drawn(hostile_page()), drawn(page())
    assert set(hostile) == set(harmless)
    # Which steps of the waterfall are drawn hangs on their names, which the build writes.
    for name, marks in ((name, marks) for name, marks in hostile.items() if name != "waterfall"):
        assert len(marks) == len(harmless[name])


def test_rows_whose_names_look_alike_keep_their_own_bars() -> None:
    rows = pd.DataFrame({"item_type": ["x" * 9_000 + "a", "x" * 9_000 + "b", "x" * 9_000 + "c"]})
    assert len(set(figures.row_labels(rows, ["item_type"]))) == 3
