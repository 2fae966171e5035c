"""What a page is made of: a review's tables, and sentences whose numbers are cells."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, cast

from dashboards import formats
from models import columns
from models.fields import Quantity
from models.plain_rows import PlainRows, midnight
from models.shop_units import Units
from models.tables import TABLES

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, kw_only=True)
class Records:
    """Tables, the month that is looked at and the instant of making: what a sentence is judged by.

    tables: frames by name (`marts.shipping_margin`), each as its contract in models/tables says; plain rows where a
    command loads no frames (models/plain_rows.py). month: its first day.
    made_at: only deadlines are compared with it; without it nothing is said to be over or to come.
    """

    tables: Mapping[str, pd.DataFrame]
    month: dt.date | None = None
    made_at: dt.datetime | None = None
    # What was asked for before: rows by table, sentences by id, what several of them rest on by its function and what
    # it was asked about. Each surface asks for the same again.
    rows_read: dict[str, pd.DataFrame] = field(default_factory=dict, init=False, repr=False, compare=False)
    months_read: dict[tuple[str, dt.date], pd.DataFrame] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )
    sentences_stated: dict[str, tuple[Sentence, ...]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )
    grounds_found: dict[tuple[object, ...], Any] = field(default_factory=dict, init=False, repr=False, compare=False)

    def has(self, table: str) -> bool:
        """Whether the table was handed over, even if empty."""
        return table in self.tables

    def is_empty(self, table: str) -> bool:
        """Whether the table is known and has no row."""
        return self.has(table) and self.table(table).empty

    def is_month_empty(self, table: str) -> bool:
        """Whether the table is known and has no row of the month looked at."""
        return self.has(table) and self.month_rows(table).empty

    def table(self, name: str) -> pd.DataFrame:
        """The table's rows, numbered from 0 as in `tables`; no rows of the contract's columns where it is missing.

        They and all that is chosen of them know the table (`attrs`), so that a cell of a sentence does.
        """
        if name not in self.rows_read:
            is_known = name in self.tables
            rows = dated(self.tables[name].reset_index(drop=True)) if is_known else self._none_of(name)
            rows.attrs = {"table": name}
            self.rows_read[name] = rows
        return self.rows_read[name].copy(deep=False)  # whoever writes into it writes into a copy of its own

    def _none_of(self, table: str) -> pd.DataFrame:
        """No rows, of the kind of those that were handed over."""
        columns = list(TABLES[table].columns) if table in TABLES else []
        if any(isinstance(rows, PlainRows) for rows in self.tables.values()):
            return cast("pd.DataFrame", PlainRows(columns, ()))
        import pandas as pd

        return pd.DataFrame(columns=columns)

    def month_rows(self, name: str) -> pd.DataFrame:
        """The table's rows of the month of shipping that is looked at."""
        return self.rows_of(name, self.month) if self.month else self.table(name).iloc[:0]

    def rows_of(self, name: str, month: dt.date) -> pd.DataFrame:
        """The table's rows of that month of shipping."""
        if (name, month) not in self.months_read:
            self.months_read[name, month] = in_month(self.table(name), month)
        return self.months_read[name, month].copy(deep=False)


@dataclass(frozen=True, kw_only=True)
class Review(Records):
    """All that one month's page and workbook are drawn from.

    `units` is how the shop writes amounts and measures. The workbook holds every row handed over, so of
    marts.parcel_costs the month's parcels with the lowest margins are enough. notes: sentences on the records, shown as
    they stand. edition_words: which edition this is and what changed since the one before. page_name,
    workbook_name, explore_name, index_name: files beside the page that it links to; empty for no link.
    """

    shop_name: str
    units: Units
    month: dt.date
    made_at: dt.datetime
    notes: Sequence[str] = ()
    page_name: str = ""
    workbook_name: str = ""
    explore_name: str = ""
    index_name: str = ""
    edition_words: str = ""

    @property
    def currency(self) -> str:
        """The currency of all amounts (ISO 4217)."""
        return self.units.currency


def dated(rows: pd.DataFrame) -> pd.DataFrame:
    """The rows with day columns of one type; an engine may hand them over as plain dates."""
    if isinstance(rows, PlainRows):
        return rows
    import pandas as pd

    plain = [name for name in rows.columns if columns.quantity(name) is Quantity.DATE and rows[name].dtype == object]
    return rows.assign(**{name: pd.to_datetime(rows[name]).astype("datetime64[us]") for name in plain})


def in_month(rows: pd.DataFrame, month: dt.date) -> pd.DataFrame:
    """The rows whose `shipped_month` is the month."""
    if rows.empty:
        return rows
    return rows[rows["shipped_month"] == midnight(month)]


@dataclass(frozen=True)
class Cell:
    """A value shown on the page, with the place it came from: table, row number there, column.

    is_bare: whether a sentence writes it without its unit, as in 48 x 12 x 12 in.
    """

    table: str
    row: int
    column: str
    value: Any
    is_bare: bool = False

    def text(self, units: Units) -> str:
        """The value as a table writes it, under a header that says the unit."""
        return formats.shown(self.value, self.column, units)

    def spoken(self, units: Units) -> str:
        """The value as a sentence writes it, a measure with its unit."""
        return self.text(units) if self.is_bare else formats.spoken(self.value, self.column, units)

    def rounded(self, units: Units) -> str:
        """The value as prose writes it beside a table that has its cents."""
        return self.text(units) if self.is_bare else formats.spoken(self.value, self.column, units, is_rounded=True)

    @property
    def is_loss(self) -> bool:
        """Whether it is a margin, or a change of margin, below zero."""
        return self.column.startswith("margin") and not formats.is_unknown(self.value) and bool(self.value < 0)


Sentence = tuple[str | Cell, ...]
