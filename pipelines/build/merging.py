"""Brings what was built beside the warehouse into it: the old rows go, the new ones come. Within a transaction."""

from __future__ import annotations

from models.tables.kept import SHARED
from pipelines.build.months import MONTHS, WholeMonths
from pipelines.build.parts import parts
from pipelines.build.touched import PARCELS
from pipelines.shop import warehouse


def merge(connection: warehouse.Connection, months: WholeMonths) -> None:
    """Replace the rows of touched parcels, sales and months; bring what is new of that which parcels share."""
    for table, column in parts().by_parcel.items():
        _replace(connection, PARCELS, table, f"{column} in (select parcel_id from {PARCELS}.touched.rebuilt_parcels)")
    for table, column in parts().by_sale.items():
        _replace(connection, PARCELS, table, f"{column} in (select sale_id from {PARCELS}.touched.sales)")
    for table, column in parts().by_month.items():
        _replace(connection, MONTHS, table, f"cast(date_trunc('month', {column}) as date) in ({months.listed})")
    for table, (key, having) in SHARED.items():
        connection.execute(f"insert into {table} select * from {PARCELS}.{table} except select * from {table}")
        connection.execute(
            f"delete from {table} where {key} not in (select {key} from {having} where {key} is not null)"
        )


def _replace(connection: warehouse.Connection, beside: str, table: str, which: str) -> None:
    connection.execute(f"delete from {table} where {which}")
    connection.execute(f"insert into {table} by name select * from {beside}.{table} where {which}")
