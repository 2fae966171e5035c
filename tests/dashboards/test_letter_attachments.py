"""What goes with a letter: the page and the workbook, whole, as far as the limit allows; else where they lie."""

from __future__ import annotations

import email
import io
import zipfile
from email.policy import default

from dashboards.letter_email import Enclosure, Envelope, message
from dashboards.review import render
from tests.dashboards import shop
from tests.dashboards.letters import BOOK, ENVELOPE, PAGE, body, letter


def test_page_and_workbook_come_whole() -> None:
    attached = {part.get_filename(): part.get_content() for part in letter().iter_attachments()}
    assert attached["review-2026-10.xlsx"] == BOOK.content
    with zipfile.ZipFile(io.BytesIO(attached["review-2026-10.zip"])) as packed:
        assert {name: packed.read(name) for name in packed.namelist()} == {PAGE.name: PAGE.content}
    assert "Attached: review-2026-10.zip and review-2026-10.xlsx" in body(letter(), "plain")


def test_a_letter_with_its_page_weighs_less_than_a_megabyte() -> None:
    page = Enclosure(PAGE.name, render(shop.review()).encode(), PAGE.place)
    assert len(page.content) > 300_000
    wanted = Envelope(**{**vars(ENVELOPE), "attach": ("page",)})
    assert len(message(shop.review(), page, BOOK, wanted).as_bytes()) < 1_000_000


def test_a_letter_without_attachments_is_light_and_says_where_they_lie() -> None:
    bare = Envelope(**{**vars(ENVELOPE), "attach": ()})
    found = email.message_from_bytes(message(shop.review(), PAGE, BOOK, bare).as_bytes(), policy=default)
    assert list(found.iter_attachments()) == []
    assert len(found.as_bytes()) < 1_000_000
    for each in (PAGE, BOOK):
        assert f"On the shop's machine: {each.place}" in body(found, "plain")
    assert "Attached" not in body(found, "plain") and "Too large" not in body(found, "plain")


def test_what_is_too_large_is_named() -> None:
    large = Enclosure(BOOK.name, bytes(1_200_000), BOOK.place)
    small = Envelope(**{**vars(ENVELOPE), "attach_limit_mb": 1})
    found = email.message_from_bytes(message(shop.review(), PAGE, large, small).as_bytes(), policy=default)
    assert [part.get_filename() for part in found.iter_attachments()] == ["review-2026-10.zip"]
    assert f"Too large to attach: {BOOK.place}" in body(found, "plain")
    assert len(found.as_bytes()) < 1_000_000
