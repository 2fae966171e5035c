"""Numbers as people write them: decimal mark, thousands marks, exponent. What could be read in two ways is refused."""

from __future__ import annotations

import re
from decimal import Decimal

MOST_DIGITS = 15
MOST_EXPONENT = 15

_SPACES = dict.fromkeys(map(ord, "\u00a0\u2007\u2009\u202f\ufeff"), " ")
_MINUS = dict.fromkeys(map(ord, "\u2212\u2013\ufe63\uff0d"), "-")

_EXPONENT = r"(?:[eE](?P<exponent>[+-]?\d{1,4}))?"
_BY_DECIMAL = {
    mark: re.compile(rf"(?P<whole>\d+|\d{{1,3}}(?:{groups}\d{{3}})+)?(?:{point}(?P<part>\d*))?{_EXPONENT}")
    for mark, point, groups in ((".", r"\.", "[,  '’]"), (",", ",", r"[.  '’]"))
}
# With no decimal mark stated, commas are thousands marks only where nothing else is possible.
_PROVEN_COMMAS = re.compile(r"\d{1,3}(?:,\d{3})+\.\d+|\d{1,3}(?:,\d{3}){2,}")


class Unreadable(ValueError):  # noqa: N818 - caught inside this room; its message completes "the cell ..."
    """Why a cell cannot be read, as the end of a sentence that begins with the cell."""


def tidy(text: str) -> str:
    """Without surrounding blanks; no-break blanks become blanks and typographic minus signs a hyphen."""
    return text.translate(_SPACES).translate(_MINUS).strip()


def plain_number(text: str, decimal: str | None) -> Decimal:
    """The number, exactly. Raises Unreadable for what is no number, or could be two."""
    sign, digits = ("-", text[1:].strip()) if text.startswith("-") else ("", text.removeprefix("+"))
    _refuse_marks(digits, decimal)
    found = _BY_DECIMAL[decimal or "."].fullmatch(digits)
    if not found or not ((found["whole"] or "") + (found["part"] or "")):
        raise Unreadable("is no number")
    whole, part = re.sub(r"\D", "", found["whole"] or "0"), found["part"] or "0"
    _refuse_size(whole, part, found["exponent"])
    return Decimal(f"{sign}{whole}.{part}e{found['exponent'] or 0}")


def integer(number: Decimal, otherwise: str) -> int:
    """The number where it is whole. Raises Unreadable with the words of `otherwise`."""
    if number != number.to_integral_value():
        raise Unreadable(otherwise)
    return int(number)


def _refuse_marks(digits: str, decimal: str | None) -> None:
    if "%" in digits:
        raise Unreadable("carries a percent sign; write it as a fraction")
    if decimal is None and "," in digits and not _PROVEN_COMMAS.fullmatch(digits):
        raise Unreadable("has a comma that may be a decimal or a thousands mark; state `decimal` in the column map")


def _refuse_size(whole: str, part: str, exponent: str | None) -> None:
    if len(whole.lstrip("0")) > MOST_DIGITS or len(part) > 2 * MOST_DIGITS:
        raise Unreadable(f"has more than {MOST_DIGITS} digits")
    if exponent and abs(int(exponent)) > MOST_EXPONENT:
        raise Unreadable("has an exponent beyond reason")
