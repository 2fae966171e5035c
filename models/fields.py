"""The kinds of column a contract is made of, with unit, meaning, example and the checks that every such column has.

Each function returns a pandera column. Its metadata carries what validation alone does not need: the quantity
(which decides how a cell is read), the unit, an example for the data dictionary and the header words by which
the column map recognises it; and whether people write remarks into it.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import Any

import pandera.pandas as pa


class Quantity(StrEnum):
    """What a column measures; decides its type in the engine and how its cells are read."""

    TEXT = "text"
    COUNT = "count"
    MONEY = "money"
    LENGTH = "length"
    WEIGHT = "weight"
    MINUTES = "minutes"
    FRACTION = "fraction"
    NUMBER = "number"
    FLAG = "flag"
    DATE = "date"
    INSTANT = "instant"


UNITS = {
    Quantity.TEXT: "",
    Quantity.COUNT: "pieces",
    Quantity.MONEY: "cents",
    Quantity.LENGTH: "in",
    Quantity.WEIGHT: "lb",
    Quantity.MINUTES: "minutes",
    Quantity.FRACTION: "fraction of one",
    Quantity.NUMBER: "",
    Quantity.FLAG: "yes or no",
    Quantity.DATE: "date",
    Quantity.INSTANT: "date and time, shop's time zone",
}

SQL_TYPES = {
    Quantity.TEXT: "VARCHAR",
    Quantity.COUNT: "BIGINT",
    Quantity.MONEY: "BIGINT",
    Quantity.LENGTH: "DOUBLE",
    Quantity.WEIGHT: "DOUBLE",
    Quantity.MINUTES: "DOUBLE",
    Quantity.FRACTION: "DOUBLE",
    Quantity.NUMBER: "DOUBLE",
    Quantity.FLAG: "BOOLEAN",
    Quantity.DATE: "DATE",
    Quantity.INSTANT: "TIMESTAMP",
}

_DTYPES = {
    "VARCHAR": "str",
    "BIGINT": "Int64",
    "DOUBLE": "float64",
    "BOOLEAN": "boolean",
    "DATE": "datetime64[us]",
    "TIMESTAMP": "datetime64[us]",
}

LONGEST_TEXT = 200
EARLIEST, LATEST = "2000-01-01", "2100-01-01"
# No line breaks, tabs or other control characters: they break labels and mail headers.
PLAIN_LINE = r"^[^\x00-\x1f\x7f]*$"


def _column(
    quantity: Quantity,
    meaning: str,
    example: object,
    checks: Sequence[pa.Check],
    *,
    optional: bool = False,
    known_as: Sequence[str] = (),
    is_remark: bool = False,
) -> pa.Column:
    return pa.Column(
        _DTYPES[SQL_TYPES[quantity]],
        checks=list(checks),
        nullable=optional,
        coerce=True,
        description=meaning,
        metadata={
            "quantity": quantity,
            "unit": UNITS[quantity],
            "example": example,
            "known_as": tuple(known_as),
            "is_remark": is_remark,
        },
    )


def text(meaning: str, example: str, **more: Any) -> pa.Column:
    """One line of text of at most LONGEST_TEXT characters without control characters."""
    checks = [pa.Check.str_length(max_value=LONGEST_TEXT), pa.Check.str_matches(PLAIN_LINE)]
    return _column(Quantity.TEXT, meaning, example, checks, **more)


def joined_text(meaning: str, example: str, **more: Any) -> pa.Column:
    """Several texts in one, of any length: what parts them are control characters, which no text holds."""
    return _column(Quantity.TEXT, meaning, example, [], **more)


def choice(meaning: str, example: str, among: Sequence[str], **more: Any) -> pa.Column:
    """One word of a closed list."""
    return _column(Quantity.TEXT, meaning, example, [pa.Check.isin(list(among))], **more)


def count(meaning: str, example: int, *, least: int = 0, most: int = 1_000_000_000, **more: Any) -> pa.Column:
    """A whole number of pieces, parcels or rows."""
    return _column(Quantity.COUNT, meaning, example, [pa.Check.ge(least), pa.Check.le(most)], **more)


def fact_key(meaning: str) -> pa.Column:
    """A number made of the facts it stands for, of 60 bits."""
    return count(meaning, 57446577476672362, most=(1 << 60) - 1)


def cents(meaning: str, example: int, *, least: int = 0, most: int = 100_000_000_000, **more: Any) -> pa.Column:
    """An amount in the minor unit of the shop's currency."""
    return _column(Quantity.MONEY, meaning, example, [pa.Check.ge(least), pa.Check.le(most)], **more)


def signed_cents(meaning: str, example: int, **more: Any) -> pa.Column:
    """An amount that may be negative: a credit, a margin, a difference."""
    return cents(meaning, example, least=-100_000_000_000, **more)


def inches(meaning: str, example: float, *, zero: bool = False, most: float = 1_000, **more: Any) -> pa.Column:
    """A length in inches; zero only where a length of nothing means something."""
    floor = pa.Check.ge(0) if zero else pa.Check.gt(0)
    return _column(Quantity.LENGTH, meaning, example, [floor, pa.Check.le(most)], **more)


def pounds(meaning: str, example: float, *, zero: bool = False, most: float = 10_000, **more: Any) -> pa.Column:
    """A weight in pounds."""
    floor = pa.Check.ge(0) if zero else pa.Check.gt(0)
    return _column(Quantity.WEIGHT, meaning, example, [floor, pa.Check.le(most)], **more)


def minutes(meaning: str, example: float, **more: Any) -> pa.Column:
    """Working time in minutes, at most one day."""
    return _column(Quantity.MINUTES, meaning, example, [pa.Check.ge(0), pa.Check.le(1_440)], **more)


def fraction(meaning: str, example: float, **more: Any) -> pa.Column:
    """A share or rate between nothing and one."""
    return _column(Quantity.FRACTION, meaning, example, [pa.Check.ge(0), pa.Check.le(1)], **more)


def signed_fraction(meaning: str, example: float, **more: Any) -> pa.Column:
    """A change as a share of what was there before; more than one where it more than doubled."""
    return _column(Quantity.FRACTION, meaning, example, [pa.Check.ge(-1e9), pa.Check.le(1e9)], **more)


def number(meaning: str, example: float, *, least: float = -1e15, most: float = 1e15, **more: Any) -> pa.Column:
    """A plain number: a ratio, a score, a factor."""
    return _column(Quantity.NUMBER, meaning, example, [pa.Check.ge(least), pa.Check.le(most)], **more)


def flag(meaning: str, example: bool, **more: Any) -> pa.Column:
    """Yes or no."""
    return _column(Quantity.FLAG, meaning, example, [], **more)


def date(meaning: str, example: str, **more: Any) -> pa.Column:
    """A calendar day between EARLIEST and LATEST."""
    return _column(Quantity.DATE, meaning, example, [pa.Check.ge(EARLIEST), pa.Check.le(LATEST)], **more)


def instant(meaning: str, example: str, **more: Any) -> pa.Column:
    """A day and time of day in the shop's time zone."""
    return _column(Quantity.INSTANT, meaning, example, [pa.Check.ge(EARLIEST), pa.Check.le(LATEST)], **more)
