"""Rows that Python has, or a query answers, as a table of the warehouse under its contract's names and types."""

from __future__ import annotations

import pandas as pd

from models.contracts import Contract, typed
from pipelines.build.contract_checks import hold_rows
from pipelines.shop.warehouse import Connection

_ROWS = "rows_to_load"


def load_rows(connection: Connection, contract: Contract, rows: pd.DataFrame, name: str = "") -> None:
    """Replace the contract's table, or the one of that name, by the rows, held to it. Raises ContractError."""
    table = name or contract.name
    if rows.empty:  # as most tables of a small shop are: nothing to type, to bring over or to hold
        columns = ", ".join(f"{column} {kind.sql_type}" for column, kind in contract.columns.items())
        connection.execute(f"create or replace table {table} ({columns})")
        return
    connection.register(_ROWS, typed(rows, contract))
    try:
        load_query(connection, contract, f"select * from {_ROWS}", table)
    finally:
        connection.unregister(_ROWS)


def load_query(connection: Connection, contract: Contract, sql: str, name: str = "") -> None:
    """Replace the contract's table, or the one of that name, by what the query answers, held to it. Raises
    ContractError."""
    table = name or contract.name
    cells = ", ".join(f"cast({column} as {kind.sql_type}) as {column}" for column, kind in contract.columns.items())
    connection.execute(f"create or replace table {table} as select {cells} from ({sql})")
    hold_rows(connection, table, contract)
