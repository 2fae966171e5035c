from __future__ import annotations

import base64
import hashlib
import re
from itertools import pairwise

import pytest

from dashboards import pages
from tests.dashboards import shop
from tests.dashboards.markup import parsed
from tests.dashboards.test_review import page, page_text


def test_page_is_whole_and_small_enough_to_send() -> None:
    assert page_text().startswith("<!doctype html>")
    assert len(page_text().encode()) < 1_500_000


def test_page_asks_for_nothing_from_elsewhere() -> None:
    fetching = {"src", "srcset", "poster", "action", "formaction", "data", "background"}
    for element in page().walk():
        assert not fetching & set(element.attributes)
        assert element.tag not in ("iframe", "object", "embed", "base", "img")
        assert element.attributes.get("href", "#").startswith(("#", "./", "data:,"))
    styles = "".join(element.text() for element in page().all("style"))
    assert "url(" not in styles
    assert "@import" not in styles


def test_policy_names_exactly_the_scripts_of_the_page() -> None:
    (policy,) = [each.attributes["content"] for each in page().all("meta") if "http-equiv" in each.attributes]
    scripts = ["".join(map(str, each.parts)) for each in page().all("script") if "type" not in each.attributes]
    digests = {base64.b64encode(hashlib.sha256(script.encode()).digest()).decode() for script in scripts}
    assert set(re.findall(r"'sha256-([^']+)'", policy)) == digests
    assert policy.startswith("default-src 'none'; script-src 'sha256-")
    assert "unsafe-eval" not in policy


def test_headings_descend_one_step_at_a_time() -> None:
    levels = [int(each.tag[1]) for each in page().walk() if re.fullmatch(r"h[1-6]", each.tag)]
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(below - above <= 1 for above, below in pairwise(levels))


def test_every_table_has_a_caption_and_scoped_headers() -> None:
    tables = page().all("table")
    assert 20 < len(tables) <= len(shop.parts_filled()), "parts without rows have no table"
    for table in tables:
        assert table.all("caption")[0].text()
        assert {each.attributes.get("scope") for each in table.all("th")} <= {"col", "row", "rowgroup"}
        for row in table.all("tr"):
            assert row.all("th"), "a row without a header"


def test_identifiers_are_unique_and_references_lead_somewhere() -> None:
    names = [each.attributes["id"] for each in page().walk() if "id" in each.attributes]
    assert len(set(names)) == len(names)
    for element in page().walk():
        for reference in ("aria-labelledby", "aria-describedby", "for"):
            assert element.attributes.get(reference, names[0]) in names
        if element.attributes.get("href", "").startswith("#"):
            assert element.attributes["href"][1:] in names


def test_what_is_used_by_hand_can_be_reached_and_has_a_name() -> None:
    first = page().all("a")[0]
    assert first.attributes == {"class": "skip", "href": "#main"}
    assert all(select.parent is not None and select.parent.tag == "label" for select in page().all("select"))
    for region in (each for each in page().walk() if each.attributes.get("role") == "region"):
        assert region.attributes["tabindex"] == "0"
    for drawing in (each for each in page().walk() if each.attributes.get("role") == "img"):
        assert drawing.all("title")[0].text() and drawing.all("desc")[0].text()
    assert page().all("html")[0].attributes["lang"] == "en"


def test_links_name_files_beside_the_page_only() -> None:
    assert pages.address("review 2026-10.xlsx") == "./review%202026-10.xlsx"
    assert pages.address("javascript:alert(1)") == "./javascript%3Aalert%281%29"
    assert pages.address("../../etc/passwd") == "./passwd"
    hrefs = [each.attributes["href"] for each in page().all("footer")[0].all("a")]
    assert hrefs == ["./review-2026-10.xlsx", "./index.html"]


def test_the_reader_of_these_tests_sees_a_broken_page() -> None:
    with pytest.raises(AssertionError, match="closes"):
        parsed("<p><b>x</p></b>")
