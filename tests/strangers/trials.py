"""What one file promises: its bytes, its column map, and for each of its rows the records that may be stored of it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from pipelines.shop.settings import ColumnSource, Shop, Source

# A length or weight that went through another unit may differ in the last digits that `dunnage records` would show.
SMALLEST_DIFFERENCE = 6e-7


@dataclass(frozen=True)
class Case:
    """One cell. `allowed` are the values that may be stored; none: the row must be rejected.

    `is_valid`: the contract, a standard or the user's own statement proves the value, so it should be accepted.
    """

    cell: Any
    allowed: tuple[Any, ...]
    why: str
    is_valid: bool = False


def valid(why: str, cell: Any, *values: Any) -> Case:
    """Proven: one of these values (spellings of the same) should be stored, nothing else may be."""
    return Case(cell, values, why, is_valid=True)


def either(why: str, cell: Any, *values: Any) -> Case:
    """One of these values, or rejected: a reader may know the spelling, and need not."""
    return Case(cell, values, why)


def refused(why: str, *cells: Any) -> list[Case]:
    """Nothing of these may be stored: they prove no value."""
    return [Case(cell, (), why) for cell in cells]


@dataclass(frozen=True)
class Probe:
    """A contract column under test in a record whose other needed columns are constants of the column map."""

    kind: str
    column: str
    mark: str
    constants: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Row:
    """One row of a file, found again by its mark, a text that stands nowhere else."""

    mark: str
    allowed: tuple[tuple[Any, ...], ...]
    why: str
    is_valid: bool = False
    # Says nothing, or repeats a header: may be passed over without a rejection.
    may_vanish: bool = False
    shown: str = ""


@dataclass(frozen=True)
class Trial:
    """One file. Each row's allowed records list the contract's `columns`; it is found by its `mark`."""

    group: str
    form: str
    file_name: str
    content: bytes
    source: Source
    rows: tuple[Row, ...]
    columns: tuple[str, ...]
    mark: str
    shop: Shop = field(default_factory=Shop)
    # Rows that the file may be counted to have beside `rows`: titles, second headers, footers.
    extra: int = 0
    # Refusing the whole file is a fair answer, and its rows are then not held against the share accepted.
    may_be_refused: bool = False
    # No column is left out of the map: nothing in a row may be private, so its text is shown where it is rejected.
    is_all_mapped: bool = False
    # The same rows are in other forms too, under the same group and place.
    is_compared: bool = False

    @property
    def kind(self) -> str:
        return self.source.kind


def same(stored: Any, allowed: Any) -> bool:
    """Whether a stored value is the allowed one: exact, but for the last digits of a measure."""
    if isinstance(allowed, bool) or isinstance(stored, bool) or stored is None or allowed is None:
        return stored is allowed
    if isinstance(stored, int | float) and isinstance(allowed, int | float):
        return math.isclose(stored, allowed, rel_tol=1e-9, abs_tol=SMALLEST_DIFFERENCE)
    if isinstance(stored, datetime) != isinstance(allowed, datetime):
        return _day(stored) == allowed if isinstance(stored, datetime) else False
    return bool(stored == allowed)


def _day(instant: datetime) -> date | None:
    return instant.date() if instant.time() == datetime.min.time() else None


def is_allowed(stored: Iterable[Any], row: Row) -> bool:
    """Whether the stored record is one that the row allows."""
    record = tuple(stored)
    return any(all(map(same, record, one)) for one in row.allowed)


def mapped(probe: Probe, tested: ColumnSource, mark_header: str) -> dict[str, ColumnSource]:
    """The column map of a probe."""
    constants = {name: ColumnSource(value=value) for name, value in probe.constants.items()}
    return {**constants, probe.mark: ColumnSource(mark_header), probe.column: tested}
