"""A value as it is written: money, rates, counts, days, text. No library is loaded: a command answers at once."""

import datetime as dt
import re
from collections.abc import Iterator
from decimal import Decimal

from models.cells.currencies import minor_digits as minor_digits

# What a contract allows a text to be (models.fields.LONGEST_TEXT; a test holds both to each other).
LONGEST_TEXT = 200
# A share of fewer parcels is written as counts: one more would move it by two points (common practice, no source).
FEWEST = 50
# From here shares are written in whole percent.
WHOLE_RATE = 0.1
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)

# Only signs that cannot be mistaken for another currency's; all others are written as their code.
SIGNS = {"USD": "$", "EUR": "€", "GBP": "£", "JPY": "¥"}

# Control characters, and marks that turn the direction of the text after them.
UNSEEN = re.compile(
    r"[\x00-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb\ud800-\udfff]"
)


def major(cents: int, currency: str) -> Decimal:
    """The amount in the major unit, exact: 2400 minor units of USD are 24.00."""
    return Decimal(int(cents)).scaleb(-minor_digits(currency))


def money(cents: int, currency: str) -> str:
    """An amount in minor units, written with its currency; a minus stands before everything: -$24.00."""
    return _signed(major(cents, currency), minor_digits(currency), currency)


def fine_money(cents: Decimal, currency: str) -> str:
    """An amount in minor units and parts of them, with as many decimals as it has: $0.125."""
    amount = Decimal(cents).scaleb(-minor_digits(currency)).normalize()
    return _signed(amount, max(minor_digits(currency), -int(amount.as_tuple().exponent)), currency)


def _signed(amount: Decimal, digits: int, currency: str) -> str:
    sign = SIGNS.get(currency, f"{currency} ")
    return f"{'-' if amount < 0 else ''}{sign}{abs(amount):,.{digits}f}"


def fine_rate(share: float) -> str:
    """A fraction as percent, to one decimal; all of them as 100%, which less than all never is."""
    written = f"{100 * float(share):.1f}%"
    return written if written != "100.0%" else "100%" if float(share) >= 1 else "99.9%"


def rate(share: float) -> str:
    """The same in whole percent from 10 on, but where that would make all of less than all."""
    return fine_rate(share) if abs(round(float(share), 3)) < WHOLE_RATE else whole_rate(share)


def whole_rate(share: float) -> str:
    """A fraction as whole percent, but where that would make all of less than all."""
    written = f"{100 * float(share):.0f}%"
    return fine_rate(share) if written == "100%" else written


def count(pieces: int) -> str:
    """A whole number with thousands parted."""
    return f"{int(pieces):,}"


def about(pieces: int) -> str:
    """An estimated count, to three figures: 2,013 are about 2,010."""
    return count(round(pieces, min(0, 3 - len(str(pieces)))))


def day(when: dt.date) -> str:
    """A day: 5 Oct 2026."""
    return f"{when.day} {MONTHS[when.month - 1][:3]} {when.year}"


def month(when: dt.date) -> str:
    """A month: October 2026."""
    return f"{MONTHS[when.month - 1]} {when.year}"


def short_month(when: dt.date) -> str:
    """A month for an axis: Oct 2026."""
    return f"{MONTHS[when.month - 1][:3]} {when.year}"


def instant(when: dt.datetime) -> str:
    """A day and time of day: 1 Nov 2026 06:00."""
    return f"{day(when)} {when:%H:%M}"


def plain(text: object, longest: int = LONGEST_TEXT) -> str:
    """The text on one line, without unseen characters, cut to `longest` characters (a contract allows no more)."""
    start = str(text)[: 20 * longest]  # no more is read of a text of any length
    line = UNSEEN.sub("", re.sub(r"\s+", " ", start)).strip()
    return line if len(line) <= longest else line[: longest - 1].rstrip() + "…"


def month_after(month: dt.date) -> dt.date:
    """The first day of the next month."""
    return dt.date(month.year + month.month // 12, month.month % 12 + 1, 1)


def months_between(first: dt.date, last: dt.date) -> Iterator[dt.date]:
    """The first day of each month from one month to another."""
    month = dt.date(first.year, first.month, 1)
    while month <= dt.date(last.year, last.month, 1):
        yield month
        month = month_after(month)
