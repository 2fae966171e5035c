"""The kinds of column: what is measured, in what unit, and the checks that every such column has.

Each function gives a definition: a column as models/columns states it, once. Of the definitions a contract makes the
columns that it names, for a record or for a built table.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum, StrEnum, auto
from typing import Any


class Quantity(StrEnum):
    """What a column measures; decides its type in the engine and how its cells are read.

    unit: the one in which it is stored. sql_type, dtype: the column's type in the engine and in a frame.
    """

    unit: str
    sql_type: str
    dtype: str

    def __new__(cls, word: str, unit: str, sql_type: str, dtype: str) -> Quantity:
        quantity = str.__new__(cls, word)
        quantity._value_, quantity.unit, quantity.sql_type, quantity.dtype = word, unit, sql_type, dtype
        return quantity

    TEXT = "text", "", "VARCHAR", "str"
    COUNT = "count", "whole number", "BIGINT", "Int64"
    MONEY = "money", "cents", "BIGINT", "Int64"
    LENGTH = "length", "in", "DOUBLE", "float64"
    WEIGHT = "weight", "lb", "DOUBLE", "float64"
    MINUTES = "minutes", "minutes", "DOUBLE", "float64"
    FRACTION = "fraction", "fraction of one", "DOUBLE", "float64"
    NUMBER = "number", "", "DOUBLE", "float64"
    FLAG = "flag", "yes or no", "BOOLEAN", "boolean"
    DATE = "date", "date", "DATE", "datetime64[us]"
    INSTANT = "instant", "date and time, shop's time zone", "TIMESTAMP", "datetime64[us]"


# What has a unit of length or weight.
MEASURED = (Quantity.LENGTH, Quantity.WEIGHT)

LONGEST_TEXT = 200
MOST_RATIO = 1e12
EARLIEST, LATEST = "2000-01-01", "2100-01-01"
# No line breaks, tabs or other control characters: they break labels and mail headers.
PLAIN_LINE = r"^[^\x00-\x1f\x7f]*$"


class Condition(Enum):
    """What a cell is tested by; each is read by pandera (models/schemas.py) and as SQL (models/predicates.py)."""

    AT_LEAST, MORE_THAN, AT_MOST, AMONG, NOT_LONGER, MATCHES = (auto() for _ in range(6))


@dataclass(frozen=True)
class Check:
    """A condition that every known cell of a column keeps: the test, and its bound, list or pattern."""

    test: Condition
    bound: Any


Checks = tuple[Check, ...]


@dataclass(frozen=True)
class Column:
    """A column of one contract. nullable: whether it may be unknown there. known_as: its header phrases in a record."""

    quantity: Quantity
    meaning: str
    example: Any
    checks: Checks
    nullable: bool
    known_as: tuple[str, ...] = ()
    is_remark: bool = False

    @property
    def sql_type(self) -> str:
        """Its type in the engine."""
        return self.quantity.sql_type


@dataclass(frozen=True)
class Definition:
    """A column, defined once.

    checks: what its cells must keep. built: the same in built tables, where those may hold what no record may. label:
    where the name itself would read badly. known_as: header phrases, parted by commas, by which the column map
    recognises it. known_in: more of them, of one kind of record only. is_remark: whether people write into it what
    they like.
    """

    quantity: Quantity
    meaning: str
    example: object
    checks: Checks
    built: Checks | None = None
    label: str = ""
    known_as: str = ""
    known_in: Mapping[str, str] = field(default_factory=dict)
    is_remark: bool = False

    def in_record(self, kind: str = "", *, optional: bool = False) -> Column:
        """The column of a kind of record, with the header phrases that it is known by there."""
        phrases = ", ".join(filter(None, (self.known_as, self.known_in.get(kind))))
        return self._column(self.checks, optional, tuple(phrases.split(", ")) if phrases else ())

    def in_table(self, *, optional: bool = False) -> Column:
        """The column of a built table."""
        return self._column(self.checks if self.built is None else self.built, optional, ())

    def _column(self, checks: Checks, optional: bool, known_as: tuple[str, ...]) -> Column:
        return Column(self.quantity, self.meaning, self.example, checks, optional, known_as, self.is_remark)


# The columns of one topic by name, as a file of models/columns defines them.
Topic = dict[str, Definition]


def _within(least: Any, most: Any) -> Checks:
    return (Check(Condition.AT_LEAST, least), Check(Condition.AT_MOST, most))


def _above(least: Any, most: Any) -> Checks:
    return (Check(Condition.MORE_THAN, least), Check(Condition.AT_MOST, most))


def text(meaning: str, example: str, **more: Any) -> Definition:
    """One line of text of at most LONGEST_TEXT characters without control characters."""
    checks = (Check(Condition.NOT_LONGER, LONGEST_TEXT), Check(Condition.MATCHES, PLAIN_LINE))
    return Definition(Quantity.TEXT, meaning, example, checks, **more)


def joined_text(meaning: str, example: str, **more: Any) -> Definition:
    """Several texts in one, of any length: what parts them are control characters, which no text holds."""
    return Definition(Quantity.TEXT, meaning, example, (), **more)


def choice(meaning: str, example: str, among: Sequence[str], built: Sequence[str] = (), **more: Any) -> Definition:
    """One word of a closed list. built: words that only built tables have."""
    checks, wider = ((Check(Condition.AMONG, tuple(words)),) for words in (among, (*among, *built)))
    return Definition(Quantity.TEXT, meaning, example, checks, built=wider, **more)


def count(
    meaning: str,
    example: int,
    *,
    least: int = 0,
    most: int = 1_000_000_000,
    built_least: int | None = None,
    **more: Any,
) -> Definition:
    """A whole number of pieces, parcels or rows. built_least: the least of built tables, where it is another."""
    wider = _within(least if built_least is None else built_least, most)
    return Definition(Quantity.COUNT, meaning, example, _within(least, most), built=wider, **more)


def fact_key(meaning: str) -> Definition:
    """A number made of the facts it stands for, of 60 bits."""
    return count(meaning, 57446577476672362, most=(1 << 60) - 1)


def cents(meaning: str, example: int, *, least: int = 0, most: int = 100_000_000_000, **more: Any) -> Definition:
    """An amount in the minor unit of the shop's currency."""
    return Definition(Quantity.MONEY, meaning, example, _within(least, most), **more)


def signed_cents(meaning: str, example: int, **more: Any) -> Definition:
    """An amount that may be negative: a credit, a margin, a difference."""
    return cents(meaning, example, least=-100_000_000_000, **more)


def inches(meaning: str, example: float, *, zero: bool = False, most: float = 1_000, **more: Any) -> Definition:
    """A length in inches; zero only where a length of nothing means something."""
    checks = _within(0, most) if zero else _above(0, most)
    return Definition(Quantity.LENGTH, meaning, example, checks, **more)


def signed_inches(meaning: str, example: float, **more: Any) -> Definition:
    """A difference of lengths in inches, either way."""
    return Definition(Quantity.LENGTH, meaning, example, _within(-1_000, 1_000), **more)


def pounds(meaning: str, example: float, *, zero: bool = False, most: float = 10_000, **more: Any) -> Definition:
    """A weight in pounds."""
    checks = _within(0, most) if zero else _above(0, most)
    return Definition(Quantity.WEIGHT, meaning, example, checks, **more)


def minutes(meaning: str, example: float, **more: Any) -> Definition:
    """Working time in minutes, at most one day."""
    return Definition(Quantity.MINUTES, meaning, example, _within(0, 1_440), **more)


def fraction(meaning: str, example: float, **more: Any) -> Definition:
    """A share or rate between nothing and one."""
    return Definition(Quantity.FRACTION, meaning, example, _within(0, 1), **more)


def signed_fraction(meaning: str, example: float, **more: Any) -> Definition:
    """A change as a share of what was there before; more than one where it more than doubled."""
    return Definition(Quantity.FRACTION, meaning, example, _within(-1e9, 1e9), **more)


def number(meaning: str, example: float, *, least: float = -1e15, most: float = 1e15, **more: Any) -> Definition:
    """A plain number: a ratio, a score, a factor."""
    return Definition(Quantity.NUMBER, meaning, example, _within(least, most), **more)


def ratio(meaning: str, example: float, **more: Any) -> Definition:
    """How many times as large one figure is as another; never below nothing."""
    return number(meaning, example, least=0, most=MOST_RATIO, **more)


def limits(kind: Callable[..., Definition], low_name: str, of: str, low: float, high: float, label: str = "") -> Topic:
    """Both limits of an interval, by name. low_name: the lower one's, with `_low` where the other has `_high`. of: what
    lies between them, and how surely. label: what it is called where others stand beside it."""
    ends = (("Lower limit", low_name, low), ("Upper limit", low_name.replace("_low", "_high"), high))
    return {
        name: kind(f"{end} of {of}", example, label=f"{label}, {end.lower()}" if label else end)
        for end, name, example in ends
    }


def flag(meaning: str, example: bool, **more: Any) -> Definition:
    """Yes or no."""
    return Definition(Quantity.FLAG, meaning, example, (), **more)


def date(meaning: str, example: str, **more: Any) -> Definition:
    """A calendar day between EARLIEST and LATEST."""
    return Definition(Quantity.DATE, meaning, example, _within(EARLIEST, LATEST), **more)


def instant(meaning: str, example: str, **more: Any) -> Definition:
    """A day and time of day in the shop's time zone."""
    return Definition(Quantity.INSTANT, meaning, example, _within(EARLIEST, LATEST), **more)
