"""A sentence as data: its id, the rows for which it is true, and its text with marks for their cells."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from string import Formatter
from typing import TYPE_CHECKING, Any, Concatenate, ParamSpec, TypeAlias, TypeVar

from dashboards import formats
from dashboards.review_tables import Cell, Records, Sentence
from models.actions.action import BETWEEN_NAMES
from models.plain_rows import are_rows

if TYPE_CHECKING:
    import pandas as pd

Rows: TypeAlias = "pd.DataFrame"
RowsOf = Callable[[Records], Rows]
Condition = Callable[[Records], bool]
Asked = ParamSpec("Asked")
Found = TypeVar("Found")
# Between measures with one unit: sides, and the ends of a span.
BETWEEN = (" x ", " and ")
MOST_NAMES = 4


@dataclass(frozen=True)
class Entry:
    """A sentence that a surface may place.

    is_true: those rows of a table for which it is true, or whether it is true. It reads columns of tables only.
    is_definition: holds for any records at all.

    Marks in the text: `{column}` is the row's cell, with its unit where it is a length or a weight;
    `{length_in x width_in x height_in}` are three with one unit, `{low_in and high_in}` a span; `{column:unsigned}` is
    without its minus; `{column:list}` are the names that the cell parts by BETWEEN_NAMES, the first MOST_NAMES of them;
    `{column:claim waits/claims wait}` is followed by the first words where the cell is one, else by the second;
    `{:month}` is the month looked at.
    """

    id: str
    text: str
    is_true: RowsOf | Condition
    is_definition: bool = False

    @property
    def columns(self) -> list[str]:
        """The columns whose cells the text holds."""
        return list(dict.fromkeys(column for mark in _marks(self.text) for column in mark.columns))

    def stated(self, records: Records) -> Iterator[Sentence]:
        """The sentence once for each row that makes it true, or once. A row with an unknown cell makes nothing true."""
        yield from (sentence for _, sentence in self.stated_by_row(records))

    def stated_by_row(self, records: Records) -> Iterator[tuple[int, Sentence]]:
        """The same, with the number of the row."""
        try:
            found = self.is_true(records)
            found = found if are_rows(found) else bool(found)
        except (KeyError, TypeError, ValueError):
            # A column that is missing, or a cell that is unknown where the condition must decide, proves nothing.
            return
        if not are_rows(found):
            yield from [(0, tuple(self._spoken(records)))] if found else []
        elif len(found) and set(self.columns) <= set(found.columns):
            known = found.dropna(subset=self.columns)
            for at in range(len(known)):
                row = int(known.index[at])
                yield row, tuple(self._spoken(records, row, known.iloc[at], found.attrs["table"]))

    def _spoken(
        self, records: Records, row: int = 0, cells: pd.Series[Any] | None = None, table: str = ""
    ) -> Iterator[str | Cell]:
        for mark in _marks(self.text):
            if mark.words:
                yield mark.words
            if mark.form == "month" and records.month:
                yield formats.month(records.month)
            if cells is not None:
                yield from mark.spoken(table, row, cells)


def listed(cell: str) -> str:
    """`a, b and c`, or `a, b, c, d and 3 more`."""
    names = cell.split(BETWEEN_NAMES)
    shown = [*names[:MOST_NAMES], *([f"{len(names) - MOST_NAMES} more"] if len(names) > MOST_NAMES else [])]
    return " and ".join(part for part in (", ".join(shown[:-1]), shown[-1]) if part)


def spoken_name(cell: str) -> str:
    """The name of a kind of record as words: `packing_methods`."""
    return cell.replace("_", " ")


SHAPES: dict[str, Callable[[Any], Any]] = {"unsigned": abs, "list": listed, "words": spoken_name}


@dataclass(frozen=True)
class _Mark:
    words: str
    columns: Sequence[str]
    between: str
    form: str

    def spoken(self, table: str, row: int, cells: pd.Series[Any]) -> Iterator[str | Cell]:
        for at, column in enumerate(self.columns, start=1):
            value = SHAPES[self.form](cells[column]) if self.form in SHAPES else cells[column]
            yield Cell(table, row, column, value, is_bare=at < len(self.columns))
            if at < len(self.columns):
                yield self.between
        if "/" in self.form:
            one, several = self.form.split("/")
            yield f" {one if cells[self.columns[0]] == 1 else several}"


def _marks(text: str) -> Iterator[_Mark]:
    for words, columns, form, _ in Formatter().parse(text):
        between = next((each for each in BETWEEN if each in (columns or "")), BETWEEN[0])
        yield _Mark(words, columns.split(between) if columns else (), between, form or "")


def where(id: str, text: str, is_true: RowsOf | Condition) -> Entry:
    """A sentence on each of the rows that its condition returns; one without cells may be true or not."""
    return Entry(id, text, is_true)


def definition(id: str, text: str) -> Entry:
    """A sentence that holds for any records: what a term means, how a figure is to be read."""
    return Entry(id, text, lambda records: True, is_definition=True)


def of_records(find: Callable[Concatenate[Records, Asked], Found]) -> Callable[Asked, Callable[[Records], Found]]:
    """What the records say about something: called without the records, it is a condition, which waits for them."""
    return lambda *asked, **named: lambda records: find(records, *asked, **named)


@of_records
def of_month(records: Records, table: str) -> Rows:
    """The table's rows of the month looked at."""
    return records.month_rows(table)


@of_records
def kept(records: Records, source: str | RowsOf, is_kept: Callable[[Rows], Any], most: int | None = None) -> Rows:
    """Those rows of a table, or of other rows, whose columns keep a condition; the first `most` of them."""
    found = records.table(source) if isinstance(source, str) else source(records)
    chosen: Rows = found[is_kept(found)]
    return chosen if most is None else chosen.head(most)
