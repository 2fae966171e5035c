"""Builds the SQL models in the order of their own references, in one transaction, and holds each to its contract.

The path is the name: models/sql/marts/parcel_costs.sql builds marts.parcel_costs. A reader sees either the whole of
the last build or the whole of this one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass
from graphlib import CycleError, TopologicalSorter
from importlib import resources
from importlib.resources.abc import Traversable

import pandas as pd
import pandera.pandas as pa
import sqlglot
from sqlglot import exp

from models.contracts import key, sql_type
from models.errors import BuildError, CheckFailedError, ContractError
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
        f"{schema}.{path.name[:-4]}": _model(f"{schema}.{path.name[:-4]}", path.read_text(encoding="utf-8"))
        for schema in BUILT_SCHEMAS
        for path in _files(schema)
    }


def _files(folder: str) -> list[Traversable]:
    place = resources.files("models") / "sql"
    for part in folder.split("/"):
        place = place / part
    if not place.is_dir():
        return []
    return sorted((path for path in place.iterdir() if path.name.endswith(".sql")), key=lambda path: path.name)


def _model(name: str, sql: str) -> Model:
    return Model(name, sql, references(sql))


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
    progress: Callable[[str], None] = lambda name: None,
) -> list[CheckResult]:
    """Build every model or none. Returns the warnings; raises CheckFailedError where a stop check finds rows.

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
        return [result for result in run_checks(connection, "warn") if len(result.rows)]


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
        CheckResult(path.name[:-4], _first_comment(sql), connection.execute(sql).df())
        for path in _files(f"checks/{severity}")
        for sql in [path.read_text(encoding="utf-8")]
    ]


def _first_comment(sql: str) -> str:
    return " ".join(line.removeprefix("--").strip() for line in sql.splitlines() if line.startswith("--"))


def _stop_on(results: Iterable[CheckResult]) -> None:
    for result in results:
        if len(result.rows):
            raise CheckFailedError(
                result.name,
                f"{len(result.rows)} rows break it, such as {result.rows.head(SHOWN_ROWS).to_dict('records')}",
                f"the whole build; the last one stays. The check says: {result.meaning}",
                "run `dunnage trace` on the named rows, or report this with the rows",
            )
