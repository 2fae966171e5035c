"""Strict reading of one text cell: a value in the contract's unit, or the reason why there is none. Never a guess.

The engine reads canonical cells itself (pipelines/intake/readings.py); only the distinct texts it cannot read come
here. Both readings give the same value for the same text, which a test holds.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from models.cell_dates import read_date, read_instant
from models.cell_numbers import Unreadable, integer, plain_number, tidy
from models.cell_units import FACTORS, measured
from models.fields import Quantity

Value = str | int | float | bool | date | datetime


@dataclass(frozen=True)
class Reading:
    """How the cells of one column are read.

    unit: of cells that carry none; None means the contract's own (money: major units). decimal: '.' or ',' or None
    where nobody said. date_order: dmy, mdy, ymd or None. currency: ISO 4217 code. time_zone: IANA name to which
    times with an offset are converted.
    """

    quantity: Quantity
    unit: str | None = None
    decimal: str | None = None
    date_order: str | None = None
    currency: str = "USD"
    time_zone: str = "UTC"


@dataclass(frozen=True)
class Cell:
    """`value` is None for an empty cell and for an unreadable one; `reason` is given for the unreadable one only."""

    value: Value | None
    reason: str | None = None


# ISO 4217, column "Minor unit"; every currency not listed here has two digits.
_WITHOUT = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
_WITH_THREE = "BHD IQD JOD KWD LYD OMR TND"

# Which currencies a sign may stand for. A shop of another currency does not read it.
SIGNS = {
    sign: frozenset(re.findall(r"\w+", currencies))
    for sign, currencies in {
        "$": "USD CAD AUD NZD SGD HKD MXN CLP ARS COP TWD BMD BSD BBD",
        "US$": "USD",
        "C$": "CAD",
        "A$": "AUD",
        "€": "EUR",
        "£": "GBP EGP GIP FKP SHP",
        "¥": "JPY CNY",
        "₹": "INR",
        "₩": "KRW",
        "kr": "SEK NOK DKK ISK",
        "zł": "PLN",
        "Kč": "CZK",
    }.items()
}

YES = frozenset({"yes", "y", "true", "t", "1", "ja", "oui", "sí", "si"})
NO = frozenset({"no", "n", "false", "f", "0", "nein", "non"})

MOST_CENTS = 10**15
_MONEY = re.compile(
    r"(?P<lead>[+-]?)(?P<before>[^\d.,()+\-\s'’]*)\s*(?P<sign>[+-]?)\s*"
    r"(?P<amount>\d[\d.,'’ eE+]*?|[.,]\d+)\s*(?P<after>[^\d.,()+\-\s'’]*)(?P<trailing>-?)"
)


def minor_digits(currency: str) -> int:
    """Decimals of a currency by ISO 4217: 2 for USD, 0 for JPY, 3 for KWD."""
    if currency in _WITHOUT:
        return 0
    return 3 if currency in _WITH_THREE else 2


def read_cell(text: str, reading: Reading) -> Cell:
    """Read one cell. Never raises: what cannot be read comes back with its reason."""
    stripped = tidy(text)
    if not stripped:
        return Cell(None)
    if reading.quantity is not Quantity.TEXT and _has_foreign_figures(stripped):
        return Cell(None, "has figures of another script")
    try:
        return Cell(_READERS[reading.quantity](stripped, reading))
    except Unreadable as why:
        return Cell(None, str(why))


def _has_foreign_figures(text: str) -> bool:
    return not text.isascii() and any(sign.isdecimal() and not sign.isascii() for sign in text)


def known_unit(unit: str, quantity: Quantity) -> bool:
    """Whether a column map may state this unit for that quantity."""
    if quantity is Quantity.MONEY:
        return unit == "cents"
    return unit in FACTORS.get(quantity, {})


def _text(text: str, reading: Reading) -> str:
    return text


def _count(text: str, reading: Reading) -> int:
    pieces = re.sub(r"\s*(?:pieces|piece|pcs|pc|H87)\.?$", "", text, flags=re.IGNORECASE)
    return integer(plain_number(pieces, reading.decimal), "is no whole number")


def _number(text: str, reading: Reading) -> float:
    return float(plain_number(text, reading.decimal))


def _measure(text: str, reading: Reading) -> float:
    return measured(text, reading.quantity, reading.unit, reading.decimal)


def _flag(text: str, reading: Reading) -> bool:
    word = text.lower()
    if word not in YES | NO:
        raise Unreadable("is neither yes nor no")
    return word in YES


def _date(text: str, reading: Reading) -> date:
    return read_date(text, reading.date_order, reading.time_zone)


def _instant(text: str, reading: Reading) -> datetime:
    return read_instant(text, reading.date_order, reading.time_zone)


def _money(text: str, reading: Reading) -> int:
    inner, negative = _unbracketed(text)
    found = _MONEY.fullmatch(inner)
    if not found:
        raise Unreadable("is no amount of money")
    in_cents = _is_in_cents(found["before"], found["after"], reading)
    amount = plain_number(found["amount"].strip(), reading.decimal)
    signs = [negative, *(found[place] == "-" for place in ("lead", "sign", "trailing"))]
    if sum(signs) > 1:
        raise Unreadable("has more than one minus sign")
    return _cents(-amount if any(signs) else amount, 0 if in_cents else minor_digits(reading.currency))


def _unbracketed(text: str) -> tuple[str, bool]:
    """Bookkeepers write a negative amount in round brackets."""
    bare = re.fullmatch(r"(?P<before>[^\d()]*)\((?P<inner>[^()]+)\)(?P<after>[^\d()]*)", text)
    return (bare["before"] + bare["inner"] + bare["after"], True) if bare else (text, False)


def _is_in_cents(before: str, after: str, reading: Reading) -> bool:
    """Whether the amount counts minor units. A sign in the cell wins over the map; a foreign one is refused."""
    marks = [mark.strip() for mark in (before, after) if mark.strip()]
    if not marks:
        return reading.unit == "cents"
    for mark in marks:
        if mark == "¢" and len(marks) == 1:
            return True
        if reading.currency not in SIGNS.get(mark, frozenset({mark.upper()})):
            raise Unreadable(f"carries {mark!r}, but the shop's currency is {reading.currency}")
    return False


def _cents(amount: Decimal, digits: int) -> int:
    cents = integer(amount.scaleb(digits), f"has more than {digits} decimals" if digits else "has a part of a cent")
    if abs(cents) > MOST_CENTS:
        raise Unreadable("is an amount beyond reason")
    return cents


_READERS: dict[Quantity, Callable[[str, Reading], Value]] = {
    Quantity.TEXT: _text,
    Quantity.COUNT: _count,
    Quantity.MONEY: _money,
    Quantity.LENGTH: _measure,
    Quantity.WEIGHT: _measure,
    Quantity.MINUTES: _measure,
    Quantity.FRACTION: _number,
    Quantity.NUMBER: _number,
    Quantity.FLAG: _flag,
    Quantity.DATE: _date,
    Quantity.INSTANT: _instant,
}

__all__ = ["Cell", "Reading", "known_unit", "minor_digits", "read_cell"]
