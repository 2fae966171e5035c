"""Brings what was built beside the warehouse into it: the old rows go, the new ones come. Within a transaction."""

from __future__ import annotations

from collections.abc import Sequence

from models.tables import TABLES
from models.tables.kept import BY_MONTH, BY_PARCEL, BY_SALE, NUMBERED, NUMBERS, WORKINGS
from pipelines import warehouse
from pipelines.build.months import MONTHS, WholeMonths
from pipelines.build.touched import PARCELS

# Not built in the warehouse where touched parcels and months are merged.
MERGED = frozenset({*BY_PARCEL, *BY_SALE, *BY_MONTH, *WORKINGS, *NUMBERED})


def merge(connection: warehouse.Connection, months: WholeMonths) -> None:
    """Replace the rows of touched parcels, sales and months."""
    for number in NUMBERS:
        _number(connection, number)
    for table, column in BY_PARCEL.items():
        _replace(connection, table, f"{column} in (select parcel_id from {PARCELS}.touched.anew)")
    for table, column in BY_SALE.items():
        _replace(connection, table, f"{column} in (select sale_id from {PARCELS}.touched.sales)")
    for table, column in BY_MONTH.items():
        _replace(connection, table, f"cast(date_trunc('month', {column}) as date) in ({months.listed})")
    for table, (number, having) in NUMBERED.items():
        _replace(connection, table, f"{number} in (select known from numbered_{number})")
        used = f"select distinct {number} from {having} where {number} is not null"
        connection.execute(f"delete from {table} where {number} not in ({used})")


def _number(connection: warehouse.Connection, number: str) -> None:
    """The table numbered_NUMBER: for each number given out beside, the one that its facts have or now get here."""
    table, named = NUMBERS[number]
    before = tuple(NUMBERS)[: tuple(NUMBERS).index(number)]
    facts = ", ".join(named.split())
    same = " and ".join(f"h.{name} is not distinct from b.{name}" for name in named.split())
    connection.execute(f"""
        create or replace temp table numbered_{number} as
        with beside as (select distinct {number} as built, {facts} from ({_numbered(table, before)}) as t),
        here as (select min({number}) as known, {facts} from {table} group by {facts}),
        met as (select b.built, h.known from beside as b left join here as h on {same})
        select
            built,
            coalesce(
                known,
                (select coalesce(max({number}), 0) from {table})
                + row_number() over (partition by known is null order by built)
            ) as known
        from met
    """)


def _numbered(table: str, numbers: Sequence[str]) -> str:
    """The rows of a table beside the warehouse, with these numbers as the warehouse knows them."""
    theirs = [name for name in TABLES[table].columns if name in numbers]
    columns = ", ".join(
        f"n_{name}.known as {name}" if name in theirs else f"t.{name}" for name in TABLES[table].columns
    )
    joins = " ".join(f"left join numbered_{name} as n_{name} on n_{name}.built = t.{name}" for name in theirs)
    return f"select {columns} from {MONTHS if table in BY_MONTH else PARCELS}.{table} as t {joins}"


def _replace(connection: warehouse.Connection, table: str, which: str) -> None:
    connection.execute(f"delete from {table} where {which}")
    connection.execute(
        f"insert into {table} by name select * from ({_numbered(table, tuple(NUMBERS))}) as t where {which}"
    )
