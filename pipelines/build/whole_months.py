"""Whole months beside the warehouse: what stands of their parcels, with the touched ones in place of the old.

A table by month needs every parcel of its months, but only few of them are built again.
"""

from dataclasses import dataclass, field
from datetime import date

from models.tables import TABLES
from models.tables.incremental_rules import SHARED
from pipelines.build.loading import load_built
from pipelines.build.partitions import parts
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
    """Makes tables by month and merges all that is touched; `days` are the first days of the months.

    home: the warehouse's name; beside: that of the touched parcels' database, whose touched.rebuilt_parcels lists them.
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

    @property
    def rebuilt(self) -> str:
        """The parcels built again, as SQL."""
        return f"select parcel_id from {self.beside}.touched.rebuilt_parcels"

    def make(self, model: Model) -> None:
        """Make one table by month and hold it to its contract; the parcels' database is in use before and after."""
        if not self.brought:
            dated = f'select parcel_id from "{self.home}".{MONTH_OF} where {self._stands(MONTH_OF)}'
            self.connection.execute(f"create or replace table {MONTHS}.{STANDING} as {dated}")
        for name in sorted(model.references - self.brought):
            self._bring(name)
        self.connection.execute(f"use {MONTHS}")
        load_built(self.connection, TABLES[model.name], model.sql)
        self.connection.execute(f"use {self.beside}")

    def merge(self) -> None:
        """Bring what is touched into the warehouse, which is in use: the old rows go, the new ones come.

        What parcels share stays as long as a parcel has it. Within a transaction.
        """
        for table, column in parts().by_parcel.items():
            self._replace(self.beside, table, f"{column} in ({self.rebuilt})")
        for table, column in parts().by_sale.items():
            self._replace(self.beside, table, f"{column} in (select sale_id from {self.beside}.touched.sales)")
        for table, column in parts().by_month.items():
            self._replace(MONTHS, table, f"cast(date_trunc('month', {column}) as date) in ({self.listed})")
        for table, (key, having) in SHARED.items():
            in_use = f"select {key} from {having} where {key} is not null"
            self.connection.execute(
                f"insert into {table} select * from {self.beside}.{table} except select * from {table}"
            )
            self.connection.execute(f"delete from {table} where {key} not in ({in_use})")

    def _replace(self, database: str, table: str, which: str) -> None:
        self.connection.execute(f"delete from {table} where {which}")
        self.connection.execute(f"insert into {table} by name select * from {database}.{table} where {which}")

    def _bring(self, name: str) -> None:
        readers = [models()[reader] for reader in parts().by_month if name in models()[reader].references]
        columns = ", ".join(column for column in TABLES[name].columns if column in columns_named(name, readers))
        here, there = (f"{database}.{name}" for database in (self.beside, f'"{self.home}"'))
        both = f"select {columns} from {here} union select {columns} from {there}"
        if name in parts().by_parcel:
            again = f"select {columns} from {here} where {parts().by_parcel[name]} in ({self.rebuilt})"
            both = f"{again} union all {rows_where(there, self._stands(name), columns)}"
        kind = "table" if len(readers) > 1 else "view"
        self.connection.execute(f"create or replace {kind} {MONTHS}.{name} as {both}")
        self.brought.add(name)

    def _stands(self, table: str) -> str:
        """Whether a row of a table by parcel is of these months and stays as it is."""
        column = parts().by_parcel[table]
        if SHIPPED_IN in TABLES[table].columns:
            return f"{SHIPPED_IN} in ({self.listed}) and {column} not in ({self.rebuilt})"
        return f"{column} in (select parcel_id from {MONTHS}.{STANDING})"


def rows_where(table: str, condition: str, columns: str = "*") -> str:
    """SQL for the rows of a large table that a condition picks, found by number first.

    Of all columns but those of the condition, the engine then reads only where such rows lie: records of a few weeks
    lie together.
    """
    return f"select {columns} from {table} where rowid in (select rowid from {table} where {condition})"
