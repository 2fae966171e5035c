"""Holds a built table to its contract, in the engine: columns, types, every condition, the key."""

from collections.abc import Sequence

from models.contracts import Contract
from models.errors import ContractError
from models.predicates import Predicate, broken_row, predicates
from pipelines.shop import repeats, warehouse

# From here keys are sorted rather than grouped: slower to ask, four times as quick to answer.
_SORTED_FROM = 100_000


def hold_to_contract(connection: warehouse.Connection, table: str, contract: Contract, row_count: int) -> None:
    """Check columns and types of a built table of so many rows, and as `hold_rows`. Raises ContractError."""
    _check_columns(connection, table, contract)
    hold_rows(connection, table, contract, row_count)


def hold_rows(connection: warehouse.Connection, table: str, contract: Contract, row_count: int) -> None:
    """Check the conditions and the key of a table that has the contract's columns, in the engine.

    row_count: how many rows it has. In a small shop most tables have none, and to plan the question takes longer than
    to answer it. Raises ContractError.
    """
    if row_count and _is_broken(connection, table, contract, row_count):
        broken = [*_broken(connection, table, predicates(contract)), *_repeated(connection, table, contract)]
        if broken:
            raise ContractError(
                table, "; ".join(broken), "every figure built on it", "correct the SQL model of that name"
            )


def _check_columns(connection: warehouse.Connection, table: str, contract: Contract) -> None:
    found = connection.table(table)  # a third of what asking in SQL costs, for each of some 200 tables of a build
    built = dict(zip(found.columns, map(str, found.types), strict=True))
    stated = {column: contract.columns[column].sql_type for column in contract.columns}
    if built != stated:
        wrong = sorted(f"{column} {kind}" for column, kind in set(built.items()) ^ set(stated.items()))
        raise ContractError(
            table, f"columns differ: {', '.join(wrong)}", "the build", "bring model and contract together"
        )


def _is_broken(connection: warehouse.Connection, table: str, contract: Contract, row_count: int) -> bool:
    """Whether a row breaks a condition or a key repeats: one question, quick to answer where nothing is broken."""
    asked = (
        [f"(select 1 from {table} where {' or '.join(broken_row(found))} limit 1)"]
        if (found := predicates(contract))
        else []
    )
    if contract.key and 1 < row_count < _SORTED_FROM:
        asked.append(f"(select 1 from {table} group by {', '.join(contract.key)} having count(*) > 1 limit 1)")
    if asked and connection.execute(" union all ".join(asked)).fetchall():
        return True
    if not contract.key or row_count < _SORTED_FROM:
        return False
    # Other keys may share a hash: what repeats is counted by the keys themselves.
    return repeats.shared_hashes(connection, table, contract.key, row_count).size > 0


def _broken(connection: warehouse.Connection, table: str, conditions: Sequence[Predicate]) -> list[str]:
    """What is broken, in words."""
    counts = ", ".join(f"count(case when {condition.sql} then 1 end)" for condition in conditions)
    found = connection.execute(f"select {counts} from {table}").fetchall()[0] if conditions else ()
    return [
        f"{', '.join(condition.columns)} {condition.reason} ({rows} rows)"
        for condition, rows in zip(conditions, found, strict=True)
        if rows
    ]


def _repeated(connection: warehouse.Connection, table: str, contract: Contract) -> list[str]:
    if not contract.key:
        return []
    listed = ", ".join(contract.key)
    found = connection.execute(
        f"select count(*) from (select {listed} from {table} group by {listed} having count(*) > 1) as repeated"
    ).fetchall()[0][0]
    return [f"{listed} repeat ({found} keys)"] if found else []
