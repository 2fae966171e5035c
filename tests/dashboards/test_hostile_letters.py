"""Names and addresses that try to break a letter: no header, no part, no element is added."""

from __future__ import annotations

import re

import pytest

from dashboards.letter_email import Envelope, message
from tests.dashboards import shop
from tests.dashboards.letters import BOOK, ENVELOPE, PAGE, body, hostile, letter
from tests.dashboards.markup import parsed

META = {"name", "content"}


def test_hostile_names_add_no_header_and_no_part() -> None:
    assert hostile().keys() == letter().keys()
    assert [part.get_content_type() for part in hostile().walk()] == [
        part.get_content_type() for part in letter().walk()
    ]
    assert len(str(hostile()["Subject"])) < 200
    assert hostile()["Bcc"] is None
    assert not hostile().defects


def test_hostile_names_stay_text() -> None:
    html, usual = parsed(body(hostile(), "html")), parsed(body(letter(), "html"))
    assert {each.tag for each in html.walk()} <= {each.tag for each in usual.walk()}
    for element in html.walk():
        assert not any(name.startswith("on") for name in element.attributes)
        assert set(element.attributes) <= {"style", "scope", "colspan", "src", "alt", "width", "lang", "charset"} | META
    for text in (body(hostile(), "plain"), html.text()):
        assert not set(text) & set("\u202e\u2066\u200f\u2028\u2029\x00\x07\x1b")


def test_no_raw_line_is_longer_than_mail_allows() -> None:
    """RFC 5322 (2008), section 2.1.1: at most 998 characters a line; and every line ends with CRLF."""
    for found in (hostile(), letter()):
        raw = message(shop.review(), PAGE, BOOK, ENVELOPE).as_bytes() if found is letter() else found.as_bytes()
        assert max(map(len, re.split(rb"\r?\n", raw))) <= 998
    assert b"\n" not in message(shop.review(), PAGE, BOOK, ENVELOPE).as_bytes().replace(b"\r\n", b"")


def test_an_address_with_a_line_break_is_refused() -> None:
    broken = Envelope(**{**vars(ENVELOPE), "recipient": "a@b.example\r\nBcc: c@d.example"})
    with pytest.raises(ValueError, match=r"(?i)linefeed|carriage|CR|newline"):
        message(shop.review(), PAGE, BOOK, broken)
