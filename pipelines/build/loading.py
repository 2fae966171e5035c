"""Rows that Python has, or a query answers, as a table of the warehouse under its contract's names and types."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from models.contracts import Contract, typed
from pipelines.build.contract_checks import hold_rows, hold_to_contract
from pipelines.shop.warehouse import Connection, lent

if TYPE_CHECKING:
    import pandas as pd

NO_OTHERS: Mapping[str, str] = MappingProxyType({})
# Before a table's name: it lives as long as the connection, beside the warehouse.
TEMPORARY = "temp."
_ROWS = "rows_to_load"


def load_rows(connection: Connection, contract: Contract, rows: pd.DataFrame, name: str = "") -> None:
    """Replace the contract's table, or the one of that name, by the rows, held to it. Raises ContractError."""
    if rows.empty:  # as most tables of a small shop are: nothing to type, to bring over or to hold
        load_none(connection, contract, name)
        return
    with lent(connection, _ROWS, typed(rows, contract)):
        load_query(connection, contract, f"select * from {_ROWS}", name)


def frame(contract: Contract, rows: Sequence[Mapping[str, Any] | Sequence[Any]]) -> pd.DataFrame:
    """Rows made by hand as a frame of the contract's columns and types; of no rows the names alone."""
    import pandas as pd  # what is built seldom asks for it, and a command that only reads never

    found = pd.DataFrame(rows, columns=list(contract.columns))
    return typed(found, contract) if rows else found


def load_none(connection: Connection, contract: Contract, name: str = "", types: Mapping[str, str] = NO_OTHERS) -> None:
    """Replace the contract's table, or the one of that name, by one without rows.

    types: those of columns that have another type than the contract says.
    """
    columns = ", ".join(f"{column} {types.get(column, kind.sql_type)}" for column, kind in contract.columns.items())
    connection.execute(f"{created(name or contract.name)} ({columns})")


def load_query(connection: Connection, contract: Contract, sql: str, name: str = "") -> None:
    """Replace the contract's table, or the one of that name, by what the query answers, held to it.

    Raises ContractError.
    """
    table = name or contract.name
    cells = ", ".join(f"cast({column} as {kind.sql_type}) as {column}" for column, kind in contract.columns.items())
    hold_rows(connection, table, contract, write(connection, table, f"select {cells} from ({sql})"))


def load_built(connection: Connection, contract: Contract, sql: str) -> int:
    """Replace the contract's table by what its model answers, which has its columns and types already.

    Returns the number of rows. Raises ContractError.
    """
    row_count = write(connection, contract.name, sql)
    hold_to_contract(connection, contract.name, contract, row_count)
    return row_count


def write(connection: Connection, table: str, sql: str) -> int:
    """Replace a table by what a query answers; returns the number of rows."""
    return int(connection.execute(f"{created(table)} as {sql}").fetchall()[0][0])


def created(name: str, kind: str = "table") -> str:
    """The words that make a table or a view of that name, or replace it; temporary ones must be called so."""
    return f"create or replace {'temp ' if name.startswith(TEMPORARY) else ''}{kind} {name}"
