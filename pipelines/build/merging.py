"""Brings the months built beside the warehouse into it: their old rows go, the new ones come. Within a transaction."""

from __future__ import annotations

from models.tables import TABLES
from models.tables.kept import BY_MONTH, BY_PARCEL, BY_SALE, CELLS, NUMBERS, WORKINGS
from pipelines import warehouse
from pipelines.build.order import models
from pipelines.build.touched import Months

# Where each number of the rating is given out: the lanes by day, and the cells.
NUMBERED = {"lane_key": "rating.lanes", "lane_class_key": "rating.lanes", "cell_key": CELLS, "case_key": CELLS}

# Not built in the warehouse where months are merged.
MERGED = frozenset({*BY_PARCEL, *BY_SALE, *BY_MONTH, *WORKINGS, CELLS})


def merge(connection: warehouse.Connection, months: Months) -> None:
    """Replace the rows of the months in every table that is kept by part; the workings hold these months alone."""
    beside = months.database
    above = _numbers_given(connection)
    for table, column in BY_PARCEL.items():
        gone, come = (f"{column} in (select parcel_id from {beside}.touched.{name})" for name in ("replaced", "kept"))
        # What stood for these parcels stood in these months: looked up by month where the table has it, it is quicker.
        stood = f"shipped_month in ({months.listed})" if "shipped_month" in TABLES[table].columns else gone
        _replace(connection, months, table, stood, come, above)
    for table, column in BY_SALE.items():
        _replace(connection, months, table, f"{column} in (select sale_id from {beside}.touched.sales)", "true", above)
    for table, column in BY_MONTH.items():
        inside = f"cast(date_trunc('month', {column}) as date) in ({months.listed})"
        _replace(connection, months, table, inside, inside, above)
    _replace(connection, months, CELLS, "false", "true", above)
    used = "select cell_key from rating.priced where cell_key is not null"
    connection.execute(f"delete from {CELLS} where cell_key not in ({used})")
    for table in sorted(WORKINGS & set(models())):
        connection.execute(f"create or replace table {table} as select * from {beside}.{table}")


def _replace(
    connection: warehouse.Connection, months: Months, table: str, gone: str, come: str, above: dict[str, int]
) -> None:
    names = list(TABLES[table].columns)
    columns = ", ".join(f"{name} + {above[name]} as {name}" if name in NUMBERS else name for name in names)
    connection.execute(f"delete from {table} where {gone}")
    connection.execute(f"insert into {table} by name select {columns} from {months.database}.{table} where {come}")


def _numbers_given(connection: warehouse.Connection) -> dict[str, int]:
    """The highest number given out so far of each kind: what was numbered beside the warehouse goes on from there."""
    found = {
        name: connection.execute(f"select coalesce(max({name}), 0) from {table}").fetchall()[0][0]
        for name, table in NUMBERED.items()
    }
    return {name: int(value) for name, value in found.items()}
