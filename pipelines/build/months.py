"""Whole months beside the warehouse: what stands of their parcels, with the touched ones in place of the old.

A table by month needs every parcel of its months, but only few of them are built again.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from models.tables import TABLES
from models.tables.kept import BY_MONTH, BY_PARCEL
from pipelines import warehouse
from pipelines.build.holding import hold_to_contract
from pipelines.build.order import Model, columns_named, models

MONTHS = "touched_months"


@dataclass(frozen=True)
class WholeMonths:
    """Makes tables by month, by the first days of the months; the touched parcels' database is the one in use.

    touched.anew lists the parcels built again.
    """

    connection: warehouse.Connection
    home: str
    days: tuple[date, ...]
    brought: set[str] = field(default_factory=set)

    @property
    def listed(self) -> str:
        """The months as SQL, for `in (...)`."""
        return ", ".join(f"date '{day}'" for day in self.days) or "null"

    def make(self, model: Model) -> None:
        """Make one table by month and hold it to its contract."""
        for name in sorted(model.references - self.brought):
            self._bring(name)
        (beside,) = self.connection.execute("select current_database()").fetchall()[0]
        self.connection.execute(f"use {MONTHS}")
        self.connection.execute(f"create or replace table {model.name} as {model.sql}")
        hold_to_contract(self.connection, model.name, TABLES[model.name])
        self.connection.execute(f"use {beside}")

    def _bring(self, name: str) -> None:
        columns = _columns_read(name)
        both = f'select {columns} from "{self.home}".{name} union select {columns} from {name}'
        if name in BY_PARCEL:
            anew = f"{BY_PARCEL[name]} in (select parcel_id from touched.anew)"
            stands = f'select {columns} from "{self.home}".{name} where {self._stands(name)} and not {anew}'
            both = f"{stands} union all select {columns} from {name} where {anew}"
        self.connection.execute(f"create or replace table {MONTHS}.{name} as {both}")
        self.brought.add(name)

    def _stands(self, name: str) -> str:
        """Which of its rows in the warehouse belong to the months."""
        if "shipped_month" in TABLES[name].columns:
            return f"shipped_month in ({self.listed})"
        dated = f'select parcel_id from "{self.home}".marts.parcel_costs where shipped_month in ({self.listed})'
        return f"{BY_PARCEL[name]} in ({dated})"


def _columns_read(name: str) -> str:
    """Its columns that tables by month may read."""
    read = columns_named(name, (model for model in models().values() if model.name in BY_MONTH))
    return ", ".join(column for column in TABLES[name].columns if column in read)
