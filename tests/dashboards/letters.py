"""Letters for tests, read back as a mail program would."""

from __future__ import annotations

import datetime as dt
import email
from email.message import EmailMessage
from email.policy import default
from functools import cache

import pandas as pd

from dashboards.letter_email import Edition, Enclosure, Envelope, message
from dashboards.review_tables import Review
from tests.dashboards import shop
from tests.dashboards.test_hostile_cells import ATTACKS, spoilt

PAGE = Enclosure("review-2026-10.html", b"<!doctype html><p>page" * 40, "reviews/review-2026-10.html")
BOOK = Enclosure("review-2026-10.xlsx", b"PK" + bytes(5_000), "reviews/review-2026-10.xlsx")
ENVELOPE = Envelope(
    "reports@fernmoor.example",
    "packer@fernmoor.example",
    "<0a1b@fernmoor.example>",
    dt.datetime(2026, 11, 3, 6, 30, tzinfo=dt.timezone(dt.timedelta(hours=-5))),
    attach=("page", "workbook"),
)
NO_CHANGES = pd.DataFrame(columns=["measure", "amount_before", "amount_after"])


def read_back(review: Review, edition: Edition | None = None, envelope: Envelope = ENVELOPE) -> EmailMessage:
    """The letter as a mail program has it."""
    made = message(review, PAGE, BOOK, envelope, edition or Edition())
    found = email.message_from_bytes(made.as_bytes(), policy=default)
    assert isinstance(found, EmailMessage)
    return found


@cache
def letter() -> EmailMessage:
    return read_back(shop.review())


def body(found: EmailMessage, kind: str) -> str:
    part = found.get_body((kind,))
    assert part is not None
    return str(part.get_content()).replace("\r\n", "\n")


@cache
def hostile() -> EmailMessage:
    tables = {name: spoilt(rows) for name, rows in shop.tables().items()}
    name = "Fernmoor\r\nBcc: everybody@elsewhere.example\r\n\r\n<script>alert(1)</script>\u202e" + "x" * 10_000
    return read_back(shop.review(tables=tables, shop_name=name, notes=(*ATTACKS, "a\r\nBcc: b@c.example")))
