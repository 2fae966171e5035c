"""Whole months beside the warehouse: what stands of their parcels, with the touched ones in place of the old.

A table by month needs every parcel of its months, but only few of them are built again.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from models.tables import TABLES
from pipelines.build.holding import hold_to_contract
from pipelines.build.parts import parts
from pipelines.build.sql_models import Model, columns_named, models
from pipelines.shop import warehouse

MONTHS = "touched_months"
# There: the parcels of the months that stay as they are.
STANDING = "main.standing"
# It knows the month of every parcel, and of account fees.
MONTH_OF = "marts.parcel_costs"
SHIPPED_IN = "shipped_month"


@dataclass(frozen=True)
class WholeMonths:
    """Makes tables by month; `days` are the first days of the months.

    home: the warehouse's name; beside: that of the touched parcels' database, in use, whose touched.rebuilt_parcels
    lists them.
    """

    connection: warehouse.Connection
    home: str
    beside: str
    days: tuple[date, ...]
    brought: set[str] = field(default_factory=set)

    @property
    def listed(self) -> str:
        """The months as SQL, for `in (...)`."""
        return ", ".join(f"date '{day}'" for day in self.days) or "null"

    def make(self, model: Model) -> None:
        """Make one table by month and hold it to its contract."""
        if not self.brought:
            self._list_current()
        for name in sorted(model.references - self.brought):
            self._bring(name)
        self.connection.execute(f"use {MONTHS}")
        self.connection.execute(f"create or replace table {model.name} as {model.sql}")
        hold_to_contract(self.connection, model.name, TABLES[model.name])
        self.connection.execute(f"use {self.beside}")

    def _bring(self, name: str) -> None:
        columns = ", ".join(column for column in TABLES[name].columns if column in columns_named(name, _by_month()))
        here, there = (f"{database}.{name}" for database in (self.beside, f'"{self.home}"'))
        both = f"select {columns} from {here} union select {columns} from {there}"
        if name in parts().by_parcel:
            rebuilt_rows = f"{parts().by_parcel[name]} in (select parcel_id from {self.beside}.touched.rebuilt_parcels)"
            stand = rows_where(there, self._stands(name), columns)
            both = f"select {columns} from {here} where {rebuilt_rows} union all {stand}"
        kind = "table" if _is_read_often(name) else "view"
        self.connection.execute(f"create or replace {kind} {MONTHS}.{name} as {both}")
        self.brought.add(name)

    def _stands(self, table: str) -> str:
        """Whether a row of a table by parcel is of these months and stays as it is."""
        if SHIPPED_IN not in TABLES[table].columns:
            return f"{parts().by_parcel[table]} in (select parcel_id from {MONTHS}.{STANDING})"
        others = f"{parts().by_parcel[table]} not in (select parcel_id from {self.beside}.touched.rebuilt_parcels)"
        return f"{SHIPPED_IN} in ({self.listed}) and {others}"

    def _list_current(self) -> None:
        dated = f'select parcel_id from "{self.home}".{MONTH_OF} where {self._stands(MONTH_OF)}'
        self.connection.execute(f"create or replace table {MONTHS}.{STANDING} as {dated}")


def rows_where(table: str, condition: str, columns: str = "*") -> str:
    """SQL for the rows of a large table that a condition picks, found by number first.

    Of all columns but those of the condition, the engine then reads only where such rows lie: records of a few weeks
    lie together.
    """
    return f"select {columns} from {table} where rowid in (select rowid from {table} where {condition})"


def _by_month() -> list[Model]:
    return [model for model in models().values() if model.name in parts().by_month]


def _is_read_often(name: str) -> bool:
    return sum(name in model.references for model in _by_month()) > 1
