"""Strict reading of one text cell: a value in the contract's unit, or the reason why there is none. Never a guess.

The engine reads canonical cells itself (pipelines/intake/fast_reading.py); only the distinct texts it cannot read come
here. Both readings give the same value for the same text, which a test holds.
"""

import re
import unicodedata
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import ROUND_HALF_UP, Decimal

from models.cells.currencies import may_mean, minor_digits
from models.cells.dates import read_date, read_instant
from models.cells.numbers import Unreadable, integer, plain_number, tidy
from models.cells.units import FACTORS, measured
from models.fields import Quantity

Value = str | int | float | bool | date | datetime


@dataclass(frozen=True)
class Reading:
    """How the cells of one column are read.

    unit: of cells that carry none; None means the contract's own (money: major units of one piece). decimal: '.' or ','
    or None where neither the map nor the file says. date_order: dmy, mdy, ymd or None. currency: ISO 4217 code.
    time_zone: IANA name to which times with an offset are converted. needs_unit: a length or weight without a unit is
    not read.
    """

    quantity: Quantity
    unit: str | None = None
    decimal: str | None = None
    date_order: str | None = None
    currency: str = "USD"
    time_zone: str = "UTC"
    needs_unit: bool = False


@dataclass(frozen=True)
class Cell:
    """`value` is None for an empty cell and for an unreadable one; `reason` is given for the unreadable one only."""

    value: Value | None
    reason: str | None = None


YES = frozenset({"yes", "y", "true", "t", "1", "ja", "oui", "sí", "si"})
NO = frozenset({"no", "n", "false", "f", "0", "nein", "non"})

MOST_CENTS = 10**15
# Units of a price that is stated for several pieces, and how many; that of one is rounded to the cent.
PIECES = {"per 10": 10, "per 12": 12, "per 100": 100, "per 1000": 1000}
_MONEY = re.compile(r"(?P<before>[^0-9()]*)(?P<amount>[0-9][0-9.,'’ ]*(?:[eE][+-]?[0-9]{1,4})?)(?P<after>[^0-9()]*)")
_SIGNED_BEFORE = re.compile(r"(?P<lead>[-+]*)(?P<word>.*?)(?P<trail>[-+]*)", re.DOTALL)
_SIGNED_AFTER = re.compile(r"(?P<lead>-*)(?P<word>.*?)(?P<trail>-*)", re.DOTALL)

# Mantissa of one figure, capital or small E, a plus sign and two figures or more: so a spreadsheet or a program prints
# what has too many figures for its cell. A code such as 12E4 or 4E10 has no plus sign and stays a code.
# With a mark among its figures, the plus may be left out, as files of typed values do.
SHORTENED_KEY = r"[1-9](?:(?:[.,][0-9]+)?[eE]\+|[.,][0-9]+[eE])[0-9]{2,3}"
IS_SHORTENED = "was shortened by a spreadsheet, and figures are lost; export the column as text"
# Two numbers of labels or more in one cell: six signs and more each, a figure among the first five. A blank alone parts
# only numbers of ten signs and more, since many a number is written in groups.
_LABEL, _LONG_LABEL = "[A-Za-z]{0,4}[0-9][0-9A-Za-z-]{4,}", "[A-Za-z]{0,4}[0-9][0-9A-Za-z]{8,}"
_BETWEEN = "(?: *[;,|&+] *| +(?:/|and|und|et|y|e) +)"
SEVERAL_LABELS = rf"{_LABEL}(?:{_BETWEEN}{_LABEL})+{_BETWEEN}?|{_LONG_LABEL}(?: +{_LONG_LABEL})+"
IS_SEVERAL = "holds several numbers; give each parcel a line of its own with its pieces and its share of the amounts"


def read_cell(text: str, reading: Reading) -> Cell:
    """Read one cell. Never raises: what cannot be read comes back with its reason."""
    stripped = tidy(text)
    if not stripped:
        return Cell(None)
    if reading.quantity is not Quantity.TEXT and _has_foreign_figures(stripped):
        return Cell(None, "has digits of another script")
    try:
        return Cell(_READERS[reading.quantity](stripped, reading))
    except Unreadable as why:
        return Cell(None, str(why))


def _has_foreign_figures(text: str) -> bool:
    return not text.isascii() and any(sign.isdecimal() and not sign.isascii() for sign in text)


def units_of(quantity: Quantity) -> Collection[str]:
    """The units that a column map may state for the quantity."""
    return ("cents", *PIECES) if quantity is Quantity.MONEY else FACTORS.get(quantity, {})


def _text(text: str, reading: Reading) -> str:
    return text


def _count(text: str, reading: Reading) -> int:
    pieces = re.sub(r"\s*(?:pieces|piece|pcs|pc|H87)\.?$", "", text, flags=re.IGNORECASE)
    return integer(plain_number(pieces, reading.decimal, reading.currency), "is not a whole number")


def _number(text: str, reading: Reading) -> float:
    return float(plain_number(text, reading.decimal, reading.currency))


def _measure(text: str, reading: Reading) -> float:
    return measured(text, reading.quantity, reading.unit, reading.decimal, needs_unit=reading.needs_unit)


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
    inner, is_bracketed = _unbracketed(text)
    found = _MONEY.fullmatch(inner)
    if not found:
        raise Unreadable("is not an amount of money")
    before, written = _with_leading_mark(found["before"], found["amount"].strip())
    around = (_SIGNED_BEFORE.fullmatch(before.strip()), _SIGNED_AFTER.fullmatch(found["after"].strip()))
    marks = [each["word"].strip() for each in around if each]
    signs = "-" * is_bracketed + "".join(each["lead"] + each["trail"] for each in around if each)
    if len(signs) > 1:
        raise Unreadable("has more than one plus or minus sign")
    if written.endswith((".", ",")) and found["after"].strip().startswith("-"):
        raise Unreadable("ends in a dash that may be a minus sign or mean no cents")
    in_cents = _is_in_cents(marks, reading)
    amount = plain_number(written, reading.decimal, reading.currency)
    digits = 0 if in_cents else minor_digits(reading.currency)
    if reading.unit in PIECES:
        amount = (amount / PIECES[reading.unit]).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP)
    return _cents(-amount if "-" in signs else amount, digits)


def _with_leading_mark(before: str, amount: str) -> tuple[str, str]:
    """`.50` and `$.50` are half a dollar; in `Rs.50` and `B/.50` the full stop belongs to the word."""
    ahead, last = before[:-1], before[-1:]
    is_bare = not ahead or ahead[-1] in "-+ " or unicodedata.category(ahead[-1]) == "Sc"
    return (ahead, last + amount) if last in (".", ",") and is_bare else (before, amount)


def _unbracketed(text: str) -> tuple[str, bool]:
    """Bookkeepers write a negative amount in round brackets."""
    bare = re.fullmatch(r"(?P<before>[^\d()]*)\((?P<inner>[^()]+)\)(?P<after>[^\d()]*)", text)
    return (bare["before"] + bare["inner"] + bare["after"], True) if bare else (text, False)


def _is_in_cents(marks: Sequence[str], reading: Reading) -> bool:
    """Whether the amount counts minor units. A sign in the cell wins over the map; a foreign one is refused."""
    stated = [mark for mark in marks if mark]
    if not stated:
        return reading.unit == "cents"
    if stated == ["¢"]:
        return True
    for mark in stated:
        if not may_mean(mark, reading.currency):
            raise Unreadable(f"carries {mark!r}, but the shop's currency is {reading.currency}")
    return False


def _cents(amount: Decimal, digits: int) -> int:
    cents = integer(amount.scaleb(digits), f"has more than {digits} decimals" if digits else "has a part of a cent")
    if abs(cents) > MOST_CENTS:
        raise Unreadable("is too large an amount")
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

__all__ = ["Cell", "Reading", "minor_digits", "read_cell", "units_of"]
