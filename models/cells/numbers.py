"""Numbers as people write them: decimal mark, thousands marks, exponent. What could be read in two ways is refused.

Thousands stand in groups of three figures, parted by one and the same mark, and never begin with a zero: `0,123` is a
decimal, `0.123.456` is not a number. Groups of two (12,34,567) are read only for a currency at whose home they are
written. A number with an exponent was printed by a program and has no groups. With no decimal mark stated, a number is
read where only one reading is possible.

A program that keeps amounts as binary numbers prints 33.3 as 33.300000000000004: more than 15 significant figures are
more than such a number holds, so a decimal that has more is rounded to 15. 33.305 has five and stays what it is.
"""

import re
from decimal import Context, Decimal, InvalidOperation

from models.cells.currencies import groups_by_two

MOST_DIGITS = 15
MOST_EXPONENT = 15

_SPACES = dict.fromkeys(map(ord, "\u00a0\u2007\u2009\u202f\ufeff"), " ")
_MINUS = dict.fromkeys(map(ord, "\u2212\u2013\ufe63\uff0d"), "-")
# Marks of no width, most of which turn the direction of writing: no part of a number.
_UNSEEN = dict.fromkeys(map(ord, "\u200b\u200e\u200f\u061c"), "")

_FORMS = {
    mark: (
        re.compile(
            rf"(?P<whole>[0-9]+|[1-9][0-9]{{0,2}}(?P<group>{groups})[0-9]{{3}}(?:(?P=group)[0-9]{{3}})*)?{part}"
        ),
        re.compile(rf"(?P<whole>[0-9]+)?{part}[eE](?P<exponent>[+-]?[0-9]{{1,4}})"),
    )
    for mark, groups, part in ((".", "[, '’]", r"(?:\.(?P<part>[0-9]*))?"), (",", "[. '’]", r"(?:,(?P<part>[0-9]*))?"))
}
_BY_TWO = re.compile(r"[1-9][0-9]?(?:,[0-9]{2})+,[0-9]{3}(?:\.[0-9]*)?")
_ROUNDING = Context(prec=MOST_DIGITS)


class Unreadable(ValueError):  # noqa: N818 - caught inside this room; its message completes "the cell ..."
    """Why a cell cannot be read, as the end of a sentence that begins with the cell."""


def tidy(text: str) -> str:
    """Without surrounding blanks; no-break blanks become blanks and typographic minus signs a hyphen."""
    return text.translate(_SPACES).translate(_MINUS).translate(_UNSEEN).strip()


def minor_units(text: str, digits: int) -> int | None:
    """An amount typed with a point, such as 14.25, as a whole number of its smallest unit; None for what is none."""
    try:
        amount = Decimal(text.strip()).scaleb(digits)
    except InvalidOperation:
        return None
    return int(amount) if amount.is_finite() and amount == amount.to_integral_value() else None


def plain_number(text: str, decimal: str | None, currency: str | None = None) -> Decimal:
    """The number, exactly. Raises Unreadable for what is not a number, or could be two.

    currency: ISO 4217 code of the shop, for groups as they are written at its home.
    """
    sign, digits = ("-", text[1:].strip()) if text.startswith("-") else ("", text.removeprefix("+"))
    if "%" in digits:
        raise Unreadable("carries a percent sign; write it as a fraction")
    if decimal != "," and currency and _BY_TWO.fullmatch(digits) and groups_by_two(currency):
        digits = digits.replace(",", "")
    readings = {_read(digits, mark) for mark in ([decimal] if decimal else _FORMS)} - {None}
    if len(readings) > 1:
        named = "comma" if "," in digits else "point"
        raise Unreadable(f"has a {named} that may be a decimal or a thousands mark; state `decimal` in the column map")
    number = readings.pop() if readings else None
    if number is None:
        raise Unreadable("is not a number")
    return -number if sign else number


def integer(number: Decimal, otherwise: str) -> int:
    """The number where it is whole. Raises Unreadable with the words of `otherwise`."""
    if number != number.to_integral_value():
        raise Unreadable(otherwise)
    return int(number)


def _read(digits: str, mark: str) -> Decimal | None:
    """The number under one decimal mark, or None where it is not one."""
    plain, scientific = _FORMS[mark]
    found = plain.fullmatch(digits) or scientific.fullmatch(digits)
    if not found or not ((found["whole"] or "") + (found["part"] or "")):
        return None
    whole, part = re.sub(r"\D", "", found["whole"] or "0"), found["part"] or "0"
    exponent = found.groupdict().get("exponent")
    _refuse_size(whole, part, exponent)
    number = Decimal(f"{whole}.{part}e{exponent or 0}")
    return _ROUNDING.plus(number) if len((whole + part).lstrip("0")) > MOST_DIGITS else number


def _refuse_size(whole: str, part: str, exponent: str | None) -> None:
    if len(whole.lstrip("0")) > MOST_DIGITS or len(part) > 2 * MOST_DIGITS:
        raise Unreadable(f"has more than {MOST_DIGITS} digits")
    if exponent and abs(int(exponent)) > MOST_EXPONENT:
        raise Unreadable("has an exponent that is too large")
