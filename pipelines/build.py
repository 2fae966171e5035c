"""Builds the SQL models in the order of their own references, in one transaction, and holds each to its contract.

The path is the name: models/sql/marts/parcel_costs.sql builds marts.parcel_costs. A reader sees either the whole of
the last build or the whole of this one.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass
from graphlib import CycleError, TopologicalSorter

import pandas as pd
import pandera.pandas as pa
import sqlglot
from sqlglot import exp

from models.contracts import key, sql_type
from models.errors import BuildError, CheckFailedError, ContractError
from models.fields import LONGEST_TEXT
from models.predicates import predicates
from models.tables import TABLES
from pipelines import warehouse
from pipelines.settings import Settings, Shop

BUILT_SCHEMAS = ("core", "rating", "marts")
SHOWN_ROWS = 3


@dataclass(frozen=True)
class Model:
    """One SQL file: the table it builds and the tables it reads."""

    name: str
    sql: str
    references: frozenset[str]


@dataclass(frozen=True)
class CheckResult:
    """What a check found: its name, what it means (its first comment) and the bad rows."""

    name: str
    meaning: str
    rows: pd.DataFrame


def models() -> dict[str, Model]:
    """Every SQL model by its table name."""
    return {
        f"{schema}.{name}": Model(f"{schema}.{name}", sql, references(sql))
        for schema in BUILT_SCHEMAS
        for name, sql in warehouse.sql_texts(schema).items()
    }


def references(sql: str) -> frozenset[str]:
    """The tables that a SQL text reads, as schema.table. Raises BuildError for a name without schema."""
    tree = sqlglot.parse_one(sql, read="duckdb")
    local = {cte.alias for cte in tree.find_all(exp.CTE)}
    tables = [table for table in tree.find_all(exp.Table) if table.db or table.name not in local]
    bare = sorted(table.name for table in tables if not table.db)
    if bare:
        raise BuildError("a SQL model", f"names {', '.join(bare)} without schema", "the build", "write schema.table")
    return frozenset(f"{table.db}.{table.name}" for table in tables)


def ordered(found: Mapping[str, Model]) -> list[Model]:
    """The models so that each comes after those it reads. Raises BuildError for a circle."""
    graph = {model.name: model.references & set(found) for model in found.values()}
    try:
        return [found[name] for name in TopologicalSorter(graph).static_order()]
    except CycleError as circle:
        raise BuildError(
            "models/sql",
            f"the models read one another in a circle: {' -> '.join(circle.args[1])}",
            "the build",
            "part one",
        ) from None


def build(
    connection: warehouse.Connection,
    settings: Settings,
    prepare: Iterable[Callable[[], None]] = (),
    inputs: str = "",
    progress: Callable[[str], None] = lambda name: None,
) -> None:
    """Build every model or none; analysis.warnings keeps what the warn checks found.

    Raises CheckFailedError where a stop check finds rows, ContractError where a table breaks its contract.

    prepare: what must stand in the warehouse before (tariff tables), run inside the same transaction.
    """
    with warehouse.transaction(connection):
        _write_settings(connection, settings.shop)
        for step in prepare:
            step()
        for model in ordered(models()):
            progress(model.name)
            connection.execute(f"create or replace table {model.name} as {model.sql}")
            hold_to_contract(connection, model.name, TABLES[model.name])
        _stop_on(run_checks(connection, "stop"))
        _write_warnings(connection, run_checks(connection, "warn"))
        _mark_current(connection, settings, inputs)


def is_current(connection: warehouse.Connection, settings: Settings, inputs: str) -> bool:
    """Whether the last build saw the same records, settings, models and `inputs` (a digest of tariff files)."""
    built = connection.execute("select fingerprint from intake.builds").fetchall()
    return built == [(_fingerprint(connection, settings, inputs),)]


def _mark_current(connection: warehouse.Connection, settings: Settings, inputs: str) -> None:
    """Remember what the build that just ended saw."""
    connection.execute("delete from intake.builds")
    connection.execute("insert into intake.builds values (?)", [_fingerprint(connection, settings, inputs)])


def _fingerprint(connection: warehouse.Connection, settings: Settings, inputs: str) -> str:
    landed = connection.execute(
        "select (select count(*) from intake.deliveries), (select count(*) from rejected.rows where resolved_by is null)"
    ).fetchall()
    texts = sorted((name, model.sql) for name, model in models().items())
    return hashlib.sha256(repr((landed, settings.shop, texts, inputs)).encode()).hexdigest()


def _write_settings(connection: warehouse.Connection, shop: Shop) -> None:
    contract = TABLES["shop.settings"]
    said = {name: value for name, value in asdict(shop).items() if name in contract.columns}
    typed = ", ".join(f"cast(? as {sql_type(contract.columns[name])}) as {name}" for name in said)
    connection.execute(f"create or replace table shop.settings as select {typed}", list(said.values()))


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
            "select column_name, data_type from information_schema.columns where table_schema = ? and table_name = ?",
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


def run_checks(connection: warehouse.Connection, severity: str) -> list[CheckResult]:
    """Every check of models/sql/checks/SEVERITY with the rows it found."""
    return [
        CheckResult(name, _first_comment(sql), connection.execute(sql).df())
        for name, sql in warehouse.sql_texts(f"checks/{severity}").items()
    ]


def _first_comment(sql: str) -> str:
    return " ".join(line.removeprefix("--").strip() for line in sql.splitlines() if line.startswith("--"))


def _write_warnings(connection: warehouse.Connection, results: Iterable[CheckResult]) -> None:
    found = [
        (
            result.name.replace("_", " "),
            result.meaning,
            len(result.rows),
            str(result.rows.head(SHOWN_ROWS).to_dict("records")),
        )
        for result in results
        if len(result.rows)
    ]
    contract = TABLES["analysis.warnings"]
    typed = ", ".join(f"{name} {sql_type(column)}" for name, column in contract.columns.items())
    connection.execute(f"create or replace table analysis.warnings ({typed})")
    if found:
        connection.executemany("insert into analysis.warnings values (?, ?, ?, ?)", found)
    hold_to_contract(connection, "analysis.warnings", contract)


def _examples(rows: pd.DataFrame) -> str:
    """The first rows in words: `parcel_id NL1, shipped_on 2026-10-03; ...`."""
    shown = rows.head(SHOWN_ROWS).astype(str).to_dict("records")
    return "; ".join(", ".join(f"{name} {value}" for name, value in row.items()) for row in shown)


def _stop_on(results: Iterable[CheckResult]) -> None:
    for result in results:
        if len(result.rows):
            raise CheckFailedError(
                result.name,
                f"{len(result.rows)} rows break it, such as {_examples(result.rows)}",
                f"the whole build; the last one stays. The check says: {result.meaning}",
                "run `dunnage trace` on the named rows, or report this with the rows",
            )
