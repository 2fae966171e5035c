"""Makes the tables of SQL models in the warehouse. What surely has no row is made of its contract alone."""

from collections.abc import Callable, Iterable, Sequence, Set

from models.tables import TABLES
from pipelines.build.loading import load_built, load_none
from pipelines.build.sql_models import Model
from pipelines.build.without_rows import read
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings


def make_here(
    connection: warehouse.Connection, settings: Settings, models: Sequence[Model], progress: Callable[[str], None]
) -> None:
    """Make the tables in the given order in the database in use, each held to its contract. Raises ContractError."""
    for schema in sorted({model.schema for model in models}):
        connection.execute(f"create schema if not exists {schema}")
    without = empty_before(connection, models)
    for model in models:
        progress(model.name)
        if not make(connection, model, without):
            without.add(model.name)


def make(connection: warehouse.Connection, model: Model, without: set[str]) -> int:
    """Make one table, held to its contract; `without`: tables known to have no row. Returns the number of rows."""
    if not is_empty(model, without):
        return load_built(connection, TABLES[model.name], model.sql)
    load_none(connection, TABLES[model.name])
    return 0


def is_empty(model: Model, without: Set[str]) -> bool:
    """Whether the model surely has no row, the tables `without` having none."""
    return not without.isdisjoint(model.references) and read(model.sql).is_empty(without)


def empty_before(connection: warehouse.Connection, models: Sequence[Model]) -> set[str]:
    """Of the tables that the models read and do not make, those that have no row."""
    made = {model.name for model in models}
    return empty(connection, frozenset().union(*(model.references for model in models)) - made)


def empty(connection: warehouse.Connection, tables: Iterable[str]) -> set[str]:
    """Those of the tables that have no row."""
    asked = sorted(tables)
    found = " union all ".join(f"(select '{table}' from {table} limit 1)" for table in asked)
    return set(asked).difference(row[0] for row in connection.execute(found).fetchall()) if asked else set()
