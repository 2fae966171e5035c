"""Holds a built table to its contract, in the engine: columns, types, every condition, the key."""

from __future__ import annotations

from collections.abc import Sequence

from models.contracts import Contract
from models.errors import ContractError
from models.predicates import Predicate, predicates
from pipelines.shop import repeats, warehouse


def hold_to_contract(connection: warehouse.Connection, table: str, contract: Contract) -> None:
    """Check columns, types, every condition and the key of a built table in the engine. Raises ContractError."""
    _check_columns(connection, table, contract)
    hold_rows(connection, table, contract)


def hold_rows(connection: warehouse.Connection, table: str, contract: Contract) -> None:
    """Check the conditions and the key of a table that has the contract's columns. Raises ContractError."""
    (row_count,) = connection.execute(f"select count(*) from {table}").fetchall()[0]
    if not row_count:
        return  # in a small shop most tables have no row, and each condition takes longer to plan than to ask
    broken = _broken(connection, table, predicates(contract))
    broken += _repeated_keys(connection, table, contract.key, row_count)
    if broken:
        raise ContractError(table, "; ".join(broken), "every figure built on it", "correct the SQL model of that name")


def _check_columns(connection: warehouse.Connection, table: str, contract: Contract) -> None:
    found = connection.table(table)  # a third of what asking in SQL costs, for each of some 200 tables of a build
    built = dict(zip(found.columns, map(str, found.types), strict=True))
    stated = {column: contract.columns[column].sql_type for column in contract.columns}
    if built != stated:
        wrong = sorted(f"{column} {kind}" for column, kind in set(built.items()) ^ set(stated.items()))
        raise ContractError(
            table, f"columns differ: {', '.join(wrong)}", "the build", "bring model and contract together"
        )


def _broken(connection: warehouse.Connection, table: str, conditions: Sequence[Predicate]) -> list[str]:
    """What is broken, in words. Rows are counted only where there is a broken one: that is quick to see."""
    any_broken = " or ".join(f"({condition.sql})" for condition in conditions)
    if not conditions or not connection.execute(f"select 1 from {table} where {any_broken} limit 1").fetchall():
        return []
    counts = ", ".join(f"count(case when {condition.sql} then 1 end)" for condition in conditions)
    found = connection.execute(f"select {counts} from {table}").fetchall()[0]
    return [
        f"{', '.join(condition.columns)} {condition.reason} ({rows} rows)"
        for condition, rows in zip(conditions, found, strict=True)
        if rows
    ]


def _repeated_keys(connection: warehouse.Connection, table: str, columns: tuple[str, ...], row_count: int) -> list[str]:
    if not columns or not repeats.shared_hashes(connection, table, columns, row_count).size:
        return []
    listed = ", ".join(columns)
    found = connection.execute(
        f"select count(*) from (select {listed} from {table} group by {listed} having count(*) > 1) as repeated"
    ).fetchall()[0][0]
    return [f"{listed} repeat ({found} keys)"] if found else []
