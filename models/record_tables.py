"""The tables that contracts of records and tariffs ask for, as SQL."""

from collections.abc import Collection, Iterator, Mapping

from models.reference import RECORDS
from models.tables.tariffs import TARIFFS


def table_statements(present: Mapping[str, Collection[str]]) -> Iterator[str]:
    """Statements that make missing tables and columns; what is there stays as it is.

    present: the columns of each table that is there. Asking first takes a tenth of the time that stating all takes,
    and every command that writes opens the warehouse.
    """
    yield from _record_tables(present)
    yield from _tariff_tables(present)


def _record_tables(present: Mapping[str, Collection[str]]) -> Iterator[str]:
    """Every record kind has its tables, and every column of its contract; a new column starts as unknown."""
    for kind, schema in RECORDS.items():
        columns = {name: column.sql_type for name, column in schema.columns.items()}
        for place, extra in (("accepted", {}), ("superseded", {"superseded_by": "INTEGER"})):
            table, typed = f"{place}.{kind}", columns | {"delivery_id": "INTEGER", "row_number": "BIGINT"} | extra
            if table not in present:
                yield _made(table, typed)
                continue
            missing = [name for name in typed if name not in present[table]]
            yield from (f"alter table {table} add column {name} {typed[name]}" for name in missing)


def _tariff_tables(present: Mapping[str, Collection[str]]) -> Iterator[str]:
    """Tariff tables stand even where the shop has no tariff yet: then every parcel is listed as unrated."""
    yield "create schema if not exists rating"
    for schema in TARIFFS:
        if schema.name not in present:
            yield _made(schema.name, {name: column.sql_type for name, column in schema.columns.items()})


def _made(table: str, typed: Mapping[str, str]) -> str:
    return f"create table {table} ({', '.join(f'{name} {kind}' for name, kind in typed.items())})"
