"""Rules between the columns of one row. Each is stated once and read twice: by pandera, and by the engine as SQL."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class AtMost:
    """`smaller` is at most `larger` wherever both are known: sides in order, paid within claimed, dates in order."""

    smaller: str
    larger: str

    @property
    def columns(self) -> tuple[str, ...]:
        return (self.smaller, self.larger)

    @property
    def reason(self) -> str:
        return f"{self.smaller} is more than {self.larger}"

    @property
    def broken_sql(self) -> str:
        """A condition that is true for a row that breaks the rule, and null or false for any other."""
        return f"{self.smaller} > {self.larger}"

    def holds(self, rows: pd.DataFrame) -> pd.Series:
        """One boolean for each row."""
        return ~(rows[self.smaller] > rows[self.larger]).fillna(False).astype(bool)


@dataclass(frozen=True)
class Needs:
    """Where `given` is known, `needed` must be known too."""

    given: str
    needed: str

    @property
    def columns(self) -> tuple[str, ...]:
        return (self.given, self.needed)

    @property
    def reason(self) -> str:
        return f"{self.given} is given without {self.needed}"

    @property
    def broken_sql(self) -> str:
        return f"{self.given} is not null and {self.needed} is null"

    def holds(self, rows: pd.DataFrame) -> pd.Series:
        return rows[self.given].isna() | rows[self.needed].notna()


@dataclass(frozen=True)
class OneOf:
    """At least one of the columns is known."""

    columns: tuple[str, ...]

    @property
    def reason(self) -> str:
        return f"none of {', '.join(self.columns)} is given"

    @property
    def broken_sql(self) -> str:
        return " and ".join(f"{column} is null" for column in self.columns)

    def holds(self, rows: pd.DataFrame) -> pd.Series:
        return rows[list(self.columns)].notna().any(axis=1)


Rule = AtMost | Needs | OneOf


def sides(prefix: str = "") -> tuple[str, ...]:
    """The columns of a parcel's three sides, the longest first."""
    return tuple(f"{prefix}{side}_in" for side in ("length", "width", "height"))


def in_order(columns: Sequence[str]) -> tuple[Rule, ...]:
    """None of the columns is more than the one before it."""
    return tuple(AtMost(smaller, larger) for larger, smaller in pairwise(columns))


def all_or_none(columns: Sequence[str]) -> tuple[Rule, ...]:
    """None of the columns is known without the others."""
    return tuple(Needs(given, needed) for given, needed in zip(columns, (*columns[1:], columns[0]), strict=True))
