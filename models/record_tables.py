"""The tables that contracts of records and tariffs ask for, as SQL that may be run again and again."""

from __future__ import annotations

from collections.abc import Iterator

from models.reference import RECORDS
from models.tables.tariffs import TARIFFS


def table_statements() -> Iterator[str]:
    """Statements that make missing tables and columns; what is there stays as it is."""
    yield from _record_tables()
    yield from _tariff_tables()


def _record_tables() -> Iterator[str]:
    """Every record kind has its tables, and every column of its contract; a new column starts as unknown."""
    for kind, schema in RECORDS.items():
        columns = {name: column.sql_type for name, column in schema.columns.items()}
        for table, extra in (("accepted", {}), ("superseded", {"superseded_by": "INTEGER"})):
            typed = columns | {"delivery_id": "INTEGER", "row_number": "BIGINT"} | extra
            listed = ", ".join(f"{name} {kind_of}" for name, kind_of in typed.items())
            yield f"create table if not exists {table}.{kind} ({listed})"
            for name, kind_of in typed.items():
                yield f"alter table {table}.{kind} add column if not exists {name} {kind_of}"


def _tariff_tables() -> Iterator[str]:
    """Tariff tables stand even where the shop has no tariff yet: then every parcel is listed as unrated."""
    yield "create schema if not exists rating"
    for schema in TARIFFS:
        typed = ", ".join(f"{name} {column.sql_type}" for name, column in schema.columns.items())
        yield f"create table if not exists {schema.name} ({typed})"
