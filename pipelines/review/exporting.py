"""Writes a whole table of the warehouse to a file: what a sheet of the workbook has no room for."""

from difflib import get_close_matches
from pathlib import Path

from models.contracts import Contract
from models.errors import NotFoundError, SettingsError
from models.shop_units import FILE_PLACES, Units
from models.sql_quoting import literal
from models.tables import TABLES
from pipelines.shop import durable, warehouse

FORMATS = {".csv": "format csv, header", ".parquet": "format parquet"}
# A spreadsheet takes a cell that begins so for a formula.
GUARDED = "case when regexp_matches({name}, '^''*[=+\\-@\\t\\r]') then '''' || {name} else {name} end as {name}"


def export(
    connection: warehouse.Connection, table: str, path: Path, units: Units, where: str = "true", order: str = ""
) -> int:
    """Write the rows of a table, whole or not at all, by default all in the order of its key; returns how many.

    Measures are in the shop's units, under its names for them. where, order: SQL over the table's columns.

    Raises NotFoundError for a table that the warehouse does not hold, SettingsError for a file that is neither CSV nor
    Parquet.
    """
    contract = _contract(connection, table)
    stated = FORMATS.get(path.suffix.lower())
    if stated is None:
        raise SettingsError(str(path), "is neither .csv nor .parquet", "this export", "name the file so")
    columns = ", ".join(
        _column(contract, name, units, is_text=path.suffix.lower() == ".csv") for name in contract.columns
    )
    order = order or ", ".join(f"t.{name}" for name in contract.key)
    asked = f"select {columns} from {table} as t where {where} order by {order}"
    with durable.replacing(path) as fresh:
        (rows,) = connection.execute(f"copy ({asked}) to {literal(str(fresh))} ({stated})").fetchall()[0]
    return int(rows)


def _contract(connection: warehouse.Connection, table: str) -> Contract:
    shown = {name for name in TABLES if name.startswith(("marts.", "analysis."))}
    known = sorted(shown.intersection(warehouse.standing(connection)))
    if table not in known:
        close = get_close_matches(table, known, n=3, cutoff=0.0)
        said = f"try {', '.join(close)}; `dunnage trace` alone lists all" if close else "run `dunnage review` first"
        raise NotFoundError(f"table {table}", "is not in the warehouse", "this export", said)
    return TABLES[table]


def _column(contract: Contract, name: str, units: Units, *, is_text: bool) -> str:
    if is_text and contract.columns[name].sql_type == "VARCHAR":
        return GUARDED.format(name=name)
    if units.name(name) != name:
        return f"round({name} * {units.factor(name)!r}, {FILE_PLACES}) as {units.name(name)}"
    return name
