"""Rows of a table in plain lists, for commands that read and must answer at once.

To load pandas takes longer than all else that such a command does. So the engine's rows stay plain, and have those
operations of a frame that sentences and listings use; a sentence's condition is the same text for both. A cell that is
unknown is None; it is equal to nothing, as in a frame. Days are instants at midnight, as in a frame.
"""

from __future__ import annotations

import datetime as dt
import operator
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import compress
from typing import TYPE_CHECKING, Any, TypeGuard, cast

if TYPE_CHECKING:
    import pandas as pd

# What marts call the group of rows that belong to no known one, as of no carton on record.
UNNAMED = "unknown"


def is_null(cell: Any) -> bool:
    """Whether the cell is null, in plain rows or in a frame: None, or what is not equal to itself (NaN, NaT, NA)."""
    try:
        return cell is None or bool(cell != cell)
    except TypeError:  # whether NA is unlike NA is not known either
        return True


def _plain(cell: Any) -> Any:
    """An engine's or a frame's cell as plain rows have it."""
    if is_null(cell):
        return None
    if isinstance(cell, Decimal):
        return float(cell)
    return midnight(cell) if isinstance(cell, dt.date) and not isinstance(cell, dt.datetime) else cell


def midnight(day: dt.date) -> dt.datetime:
    """The instant at which a day begins, as cells of days are held."""
    return dt.datetime(day.year, day.month, day.day)


class PlainColumn(list[Any]):
    """The cells of one column. Compared with a value or another column it gives a column of true and false."""

    def _compared(self, test: Callable[[Any, Any], Any], other: Any, unknown: bool = False) -> PlainColumn:
        others = other if isinstance(other, list) else [other] * len(self)
        pairs = zip(self, others, strict=True)
        return PlainColumn(unknown if None in pair else bool(test(*pair)) for pair in pairs)

    def __eq__(self, other: object) -> PlainColumn:  # type: ignore[override]
        return self._compared(operator.eq, other)

    def __ne__(self, other: object) -> PlainColumn:  # type: ignore[override]
        return self._compared(operator.ne, other, unknown=True)

    def __lt__(self, other: Any) -> PlainColumn:  # type: ignore[override]
        return self._compared(operator.lt, other)

    def __le__(self, other: Any) -> PlainColumn:  # type: ignore[override]
        return self._compared(operator.le, other)

    def __gt__(self, other: Any) -> PlainColumn:  # type: ignore[override]
        return self._compared(operator.gt, other)

    def __ge__(self, other: Any) -> PlainColumn:  # type: ignore[override]
        return self._compared(operator.ge, other)

    def __and__(self, other: Any) -> PlainColumn:
        return self._compared(operator.and_, other)

    def __or__(self, other: Any) -> PlainColumn:
        return self._compared(operator.or_, other)

    def __invert__(self) -> PlainColumn:
        return PlainColumn(not cell for cell in self)

    __hash__ = None

    def eq(self, other: object) -> PlainColumn:
        return self == other

    def isna(self) -> PlainColumn:
        return PlainColumn(cell is None for cell in self)

    def notna(self) -> PlainColumn:
        return ~self.isna()

    def isin(self, known: Iterable[Any]) -> PlainColumn:
        among = list(known)
        return PlainColumn(cell is not None and cell in among for cell in self)

    def abs(self) -> PlainColumn:
        return PlainColumn(None if cell is None else abs(cell) for cell in self)

    def any(self) -> bool:
        return any(self)

    def all(self) -> bool:
        return all(self)

    def sum(self) -> Any:
        return sum(cell for cell in self if cell is not None)

    @property
    def iloc(self) -> PlainColumn:
        return self

    def tolist(self) -> list[Any]:
        return list(self)


class PlainRows:
    """Rows of equal columns; `index` keeps their numbers in the whole table, `attrs` what is known of all of them."""

    def __init__(
        self,
        columns: Sequence[str],
        rows: Iterable[Sequence[Any]],
        index: Iterable[int] | None = None,
        attrs: Mapping[Hashable, Any] | None = None,
    ):
        self.columns = list(columns)
        self._rows = [tuple(row) for row in rows]
        self.index = list(range(len(self._rows)) if index is None else index)
        self.attrs = dict(attrs or {})

    @classmethod
    def of(cls, rows: Sequence[Mapping[str, Any]], columns: Sequence[str] | None = None) -> PlainRows:
        """From a mapping for each row. columns: their names where there may be no row."""
        names = list(rows[0] if rows and columns is None else columns or ())
        return cls.read(names, ([row[name] for name in names] for row in rows))

    @classmethod
    def read(cls, columns: Sequence[str], rows: Iterable[Sequence[Any]]) -> PlainRows:
        """From rows as an engine hands them over."""
        return cls(columns, ([_plain(cell) for cell in row] for row in rows))

    def __len__(self) -> int:
        return len(self._rows)

    @property
    def empty(self) -> bool:
        return not self._rows

    @property
    def iloc(self) -> _Places:
        return _Places(self)

    def __getitem__(self, wanted: Any) -> Any:
        if isinstance(wanted, str):
            return PlainColumn(row[self._at(wanted)] for row in self._rows)
        return self._kept(compress(range(len(self)), wanted))

    def __setitem__(self, name: str, cells: Sequence[Any]) -> None:
        changed = self.assign(**{name: cells})
        self.columns, self._rows = changed.columns, changed._rows

    def _at(self, name: str) -> int:
        try:
            return self.columns.index(name)
        except ValueError:
            raise KeyError(name) from None

    def _kept(self, places: Iterable[int]) -> PlainRows:
        kept = list(places)
        return PlainRows(self.columns, (self._rows[at] for at in kept), (self.index[at] for at in kept), self.attrs)

    def head(self, count: int) -> PlainRows:
        return self._kept(range(len(self))[:count])

    def dropna(self, subset: Sequence[str]) -> PlainRows:
        """The rows whose named cells are all known."""
        places = [self._at(name) for name in subset]
        return self._kept(at for at, row in enumerate(self._rows) if all(row[place] is not None for place in places))

    def drop(self, index: Iterable[int] = (), columns: Iterable[str] = ()) -> PlainRows:
        """Without the rows of these numbers, and without these columns."""
        gone, names = set(index), [name for name in self.columns if name not in set(columns)]
        kept = self._kept(at for at, number in enumerate(self.index) if number not in gone)
        return PlainRows(names, zip(*(kept[name] for name in names), strict=True), kept.index, self.attrs)

    def assign(self, **columns: Any) -> PlainRows:
        """With other cells in these columns: one for each row, or one for all."""
        cells = {name: self[name] for name in self.columns} | columns
        whole = [each if isinstance(each, list) else [each] * len(self) for each in cells.values()]
        return PlainRows(list(cells), zip(*whole, strict=True), self.index, self.attrs)

    def rename(self, columns: Mapping[str, str]) -> PlainRows:
        return PlainRows([columns.get(name, name) for name in self.columns], self._rows, self.index, self.attrs)

    def sort_values(
        self,
        by: str | Sequence[str],
        ascending: bool = True,
        key: Callable[[PlainColumn], PlainColumn] = lambda cells: cells,
        **_: str,
    ) -> PlainRows:
        """In the order of these columns; unknown cells last, equal rows as they stood."""
        order = list(range(len(self)))
        for name in reversed([by] if isinstance(by, str) else by):
            cells = key(self[name])
            known = sorted((at for at in order if cells[at] is not None), key=cells.__getitem__, reverse=not ascending)
            order = [*known, *(at for at in order if cells[at] is None)]
        return self._kept(order)

    def reset_index(self, drop: bool = True) -> PlainRows:
        return PlainRows(self.columns, self._rows, attrs=self.attrs)

    def copy(self, deep: bool = False) -> PlainRows:
        return PlainRows(self.columns, self._rows, self.index, self.attrs)

    def itertuples(self, **_: Any) -> Iterator[tuple[Any, ...]]:
        """The cells of each row."""
        return iter(self._rows)

    def to_dict(self, orient: str = "records") -> list[dict[str, Any]]:
        """Each row as column -> cell."""
        return [dict(zip(self.columns, row, strict=True)) for row in self._rows]


class _Places:
    """Rows by their place: `iloc[0]` is a row, `iloc[:0]` are rows."""

    def __init__(self, rows: PlainRows) -> None:
        self._of = rows

    def __getitem__(self, wanted: int | slice) -> Any:
        if isinstance(wanted, slice):
            return self._of._kept(range(len(self._of))[wanted])
        return self._of.to_dict()[wanted]


def plain(rows: Sequence[Mapping[str, Any]], columns: Sequence[str] | None = None) -> pd.DataFrame:
    """Rows made by hand, for `Records` and listings: what takes a frame takes plain rows as well."""
    return cast("pd.DataFrame", PlainRows.of(rows, columns))


def are_rows(found: object) -> TypeGuard[pd.DataFrame]:
    """Whether it is a table, of either kind."""
    return hasattr(found, "itertuples")


def as_dicts(rows: pd.DataFrame) -> list[dict[str, Any]]:
    """Each row as column name -> cell. Pandas allows any column label and its types say so; a table's are names."""
    return cast(list[dict[str, Any]], rows.to_dict("records"))
