"""What a build works with beside its tables: schemas that go when it is done, and the months that it looks back on."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import date

import pandas as pd

from pipelines.shop import warehouse


@contextmanager
def working_schemas(connection: warehouse.Connection, *schemas: str) -> Iterator[None]:
    """Schemas of the warehouse for working tables, gone at the end.

    Inside a build's transaction only the warehouse itself may be written, so they cannot stand in memory.
    """
    for schema in schemas:
        connection.execute(f"create schema if not exists {schema}")
    yield
    for schema in schemas:
        _drop(connection, schema)


@contextmanager
def temporary_tables(connection: warehouse.Connection, *beginnings: str) -> Iterator[None]:
    """Temporary tables and views whose names begin so ("temp.name_") are gone at the end: they would stay in memory.

    The engine does not compress them, which takes longer than to write them.
    """
    yield
    found = connection.execute(
        "select 'temp.' || table_name, table_type = 'VIEW' from information_schema.tables where table_catalog = 'temp'"
    ).fetchall()
    _drop_each(connection, [each for each in found if each[0].startswith(beginnings)])


def _drop_each(connection: warehouse.Connection, found: Iterable[tuple[str, bool]]) -> None:
    """Drop what is named, with whether it is a view: views first, as they read tables."""
    for name, is_view in sorted(found, key=lambda each: not each[1]):
        connection.execute(f"drop {'view' if is_view else 'table'} {name}")


def _drop(connection: warehouse.Connection, schema: str) -> None:
    """Drop a schema table by table: the engine cannot commit a cascade over tables of the same transaction."""
    found = connection.execute(
        "select table_schema || '.' || table_name, table_type = 'VIEW' from information_schema.tables "
        "where table_catalog = current_database() and table_schema = ?",
        [schema],
    ).fetchall()
    _drop_each(connection, found)
    connection.execute(f"drop schema {schema}")


def first_judged(connection: warehouse.Connection, months: int) -> date:
    """The first of so many last months in which parcels were shipped."""
    (last,) = connection.execute("select max(shipped_month) from core.parcels").fetchall()[0]
    return (pd.Timestamp(last) - pd.DateOffset(months=months - 1)).date() if last else date(1900, 1, 1)
