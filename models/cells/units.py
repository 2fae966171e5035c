"""Lengths, weights and times with their units: `48"`, `4 ft 2 in`, `49 1/2"`, `3 lb 4 oz`, `12 kg`.

Exact factors: 1 in = 2.54 cm and 1 ft = 12 in (16 CFR 500.19); 1 lb = 0.45359237 kg. Converted values are rounded to
six decimals, half up; values already in the contract's unit are kept as they are.
"""

import re
from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction

from models.cells.numbers import Unreadable, plain_number
from models.cells.three_sides import NO_SIDES
from models.fields import Quantity
from models.shop_units import CM_PER_IN, KG_PER_LB

_IN, _LB = CM_PER_IN, KG_PER_LB

# The units that a person is asked to choose among, by what is measured; `offered` puts the shop's own first.
OFFERED = {Quantity.LENGTH: ("in", "cm", "mm", "ft"), Quantity.WEIGHT: ("lb", "kg", "g", "oz")}
_METRIC = {Quantity.LENGTH: ("cm", "mm"), Quantity.WEIGHT: ("kg", "g")}


def offered(quantity: Quantity, is_metric: bool) -> tuple[str, ...]:
    """The units to choose among, those first in which the shop measures."""
    first = _METRIC[quantity] if is_metric else ()
    return (*first, *(each for each in OFFERED[quantity] if each not in first))


def _metric(before: str, unit: str) -> tuple[str, ...]:
    """A metric unit written out, as either side of the Atlantic does."""
    british = unit.replace("ter", "tre")
    return tuple(f"{before}{each}{end}" for each in (unit, british) for end in ("", "s"))


# Contract units per unit of the word. The capitals are UN/CEFACT Recommendation 20 codes.
FACTORS: dict[Quantity, dict[str, Fraction]] = {
    Quantity.LENGTH: {
        **dict.fromkeys(("in", "inch", "inches", '"', "″", "”", "''", "INH"), Fraction(1)),
        **dict.fromkeys(("ft", "foot", "feet", "'", "′", "’", "FOT"), Fraction(12)),
        **dict.fromkeys(("cm", *_metric("centi", "meter"), "CMT"), 1 / _IN),
        **dict.fromkeys(("mm", *_metric("milli", "meter"), "MMT"), 1 / (10 * _IN)),
        **dict.fromkeys(("m", *_metric("", "meter"), "MTR"), 100 / _IN),
    },
    Quantity.WEIGHT: {
        **dict.fromkeys(("lb", "lbs", "pound", "pounds", "LBR"), Fraction(1)),
        **dict.fromkeys(("oz", "ozs", "ounce", "ounces", "ONZ"), Fraction(1, 16)),
        **dict.fromkeys(("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "KGM"), 1 / _LB),
        **dict.fromkeys(("g", "gram", "grams", "GRM"), 1 / (1000 * _LB)),
    },
    Quantity.MINUTES: {
        **dict.fromkeys(("min", "mins", "minute", "minutes", "MIN"), Fraction(1)),
        **dict.fromkeys(("h", "hr", "hour", "hours", "HUR"), Fraction(60)),
        **dict.fromkeys(("s", "sec", "second", "seconds", "SEC"), Fraction(1, 60)),
    },
}
_NAMES = {Quantity.LENGTH: "length", Quantity.WEIGHT: "weight", Quantity.MINUTES: "time in minutes"}
# A larger unit may be followed by its own smaller one only: ft and in, lb and oz, h and min, m and cm, kg and g.
_FOLLOWED_BY = {
    Fraction(12): Fraction(1),
    Fraction(1): Fraction(1, 16),
    Fraction(60): Fraction(1),
    100 / _IN: 1 / _IN,
    1 / _LB: 1 / (1000 * _LB),
}

_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}
_NUMBER = r"(?:\d+(?:\s+|-))?\d+/\d+|[1-9]\d{0,2}(?: \d{3})+(?:[.,]\d*)?|\d[\d.,]*(?:[eE][+-]?\d+)?|[.,]\d+"
_UNIT = r"[A-Za-z]+|''|[\"″”'′’]"
_UNIT_SIGN = re.compile(r"""[^\W\d_]|["'″′”’]""")
_PARTS = re.compile(
    rf"(?P<sign>[+-]?)\s*(?P<first>{_NUMBER})\s*(?P<unit>{_UNIT})?\.?"
    rf"(?:,?\s*(?P<second>{_NUMBER})\s*(?P<smaller>{_UNIT})\.?)?"
)


def carries_unit(text: str) -> bool:
    """Whether a cell has a letter or sign that may be a unit."""
    return _UNIT_SIGN.search(text) is not None


def measured(
    text: str, quantity: Quantity, unit: str | None, decimal: str | None, *, needs_unit: bool = False
) -> float:
    """The value in the contract's unit. A unit in the cell wins over `unit`.

    needs_unit: nothing says what a number without one counts. Raises Unreadable.
    """
    if "%" in text:
        raise Unreadable("carries a percent sign")
    if text.startswith(NO_SIDES):
        raise Unreadable("does not hold three sides, such as 48 x 8 x 6")
    found = _PARTS.fullmatch(_spelled(text))
    if not found or (found["second"] and not found["unit"]):
        raise Unreadable(f"is not a {_NAMES[quantity]}")
    if needs_unit and not found["unit"] and unit is None:
        raise Unreadable("has no unit; state `unit` in the column map")
    factor = _factor(found["unit"] or unit, quantity)
    amount = _amount(found["first"], decimal) * factor
    if found["second"]:
        amount += _smaller(_amount(found["second"], decimal), factor, _factor(found["smaller"], quantity))
    return _rounded(-amount if found["sign"] == "-" else amount, is_converted=factor != 1)


def _spelled(text: str) -> str:
    for sign, spelled in _VULGAR.items():
        text = text.replace(sign, f" {spelled}")
    return text.strip()


def _factor(unit: str | None, quantity: Quantity) -> Fraction:
    if unit is None:
        return Fraction(1)
    known = FACTORS[quantity]
    factor = known.get(unit, known.get(unit.lower()))
    if factor is None:
        raise Unreadable(f"carries {unit!r}, which is not a unit of {quantity.value}")
    return factor


def _amount(written: str, decimal: str | None) -> Fraction:
    if "/" not in written:
        return Fraction(plain_number(written, decimal))
    *whole, over, under = re.split(r"\s+|-|/", written)
    if int(under) == 0 or len(written) > 20:
        raise Unreadable("has a fraction that is not a number")
    return sum((Fraction(part) for part in whole), Fraction(int(over), int(under)))


def _smaller(amount: Fraction, larger: Fraction, factor: Fraction) -> Fraction:
    if _FOLLOWED_BY.get(larger) != factor:
        raise Unreadable("joins two units that do not belong together")
    if amount * factor >= larger:
        raise Unreadable("has a smaller unit that makes up a whole larger one")
    return amount * factor


def _rounded(amount: Fraction, *, is_converted: bool) -> float:
    with localcontext() as context:
        context.prec = 60
        exact = Decimal(amount.numerator) / Decimal(amount.denominator)
        if not is_converted and exact * amount.denominator == amount.numerator:
            return float(exact)
        return float(exact.quantize(Decimal("0.000001"), ROUND_HALF_UP))
