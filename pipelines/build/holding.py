"""Holds a built table to its contract, in the engine: columns, types, every condition, the key."""

from __future__ import annotations

import pandera.pandas as pa

from models.contracts import key, sql_type
from models.errors import ContractError
from models.predicates import predicates
from pipelines import warehouse


def hold_to_contract(connection: warehouse.Connection, table: str, contract: pa.DataFrameSchema) -> None:
    """Check columns, types, every condition and the key of a built table in the engine. Raises ContractError."""
    _check_columns(connection, table, contract)
    conditions = predicates(contract)
    counts = ", ".join(f"count(case when {condition.sql} then 1 end)" for condition in conditions)
    found = connection.execute(f"select {counts} from {table}").fetchall()[0] if conditions else ()
    broken = [
        f"{', '.join(condition.columns)} {condition.reason} ({rows} rows)"
        for condition, rows in zip(conditions, found, strict=True)
        if rows
    ]
    broken += _repeated_keys(connection, table, key(contract))
    if broken:
        raise ContractError(table, "; ".join(broken), "every figure built on it", "mend the SQL model of that name")


def _check_columns(connection: warehouse.Connection, table: str, contract: pa.DataFrameSchema) -> None:
    schema, name = table.split(".")
    built = dict(
        connection.execute(
            "select column_name, data_type from information_schema.columns "
            "where table_catalog = current_database() and table_schema = ? and table_name = ?",
            [schema, name],
        ).fetchall()
    )
    stated = {column: sql_type(contract.columns[column]) for column in contract.columns}
    if built != stated:
        wrong = sorted(f"{column} {kind}" for column, kind in set(built.items()) ^ set(stated.items()))
        raise ContractError(
            table, f"columns differ: {', '.join(wrong)}", "the build", "bring model and contract together"
        )


def _repeated_keys(connection: warehouse.Connection, table: str, columns: tuple[str, ...]) -> list[str]:
    if not columns:
        return []
    listed = ", ".join(columns)
    found = connection.execute(
        f"select count(*) from (select {listed} from {table} group by {listed} having count(*) > 1) as repeated"
    ).fetchall()[0][0]
    return [f"{listed} repeat ({found} keys)"] if found else []
