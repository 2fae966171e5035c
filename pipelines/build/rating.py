"""Rates any set of parcels by the SQL models of models/sql/rating: other cartons, other tariffs, one parcel.

The texts are the very ones that the build runs; only their schema names are rewritten.
"""

from datetime import date
from functools import cache

import pandas as pd

from models.contracts import Contract, validated
from models.errors import ContractError, NotFoundError
from models.sql_texts import sql_texts
from models.tables import TABLES
from models.tables.rating import LINES, RATING
from models.tables.tariff_comparison import COMPARISON
from pipelines.build.loading import TEMPORARY, created, load_none, write
from pipelines.build.making import empty_before, is_empty
from pipelines.build.sql_models import Model, needed_for, ordered, references, with_schemas
from pipelines.shop import warehouse

REQUESTS = next(schema for schema in RATING if schema.name == "rating.requests")
ASKED = tuple(column for column in REQUESTS.columns if column != "sides_source")


def rate(
    connection: warehouse.Connection,
    requests: pd.DataFrame | str,
    schema: str = "whatif",
    *,
    tariffs: str = "shop",
    until: str = LINES,
) -> None:
    """Rate `requests` into SCHEMA.rated, one row per request, and SCHEMA.expected_charges, one row per charge line.

    requests: a frame, or the name of a table as schema.table, with the columns of rating.requests (ASKED);
    `request_id` is its key, of any type, and missing columns count as unknown. tariffs: the schema that holds tariff_*.
    until: the last table wanted, for large what-ifs: PRICED, the narrow row per request, or CLASS_PRICES, before fuel.
    The schema lives in memory beside the warehouse, which it never touches, unless a schema of that name exists, or it
    is a beginning of names of temporary tables ("temp.name_"). Raises ContractError for missing columns.
    """
    if not schema.startswith(TEMPORARY):
        _make_room(connection, schema)
    _write_requests(connection, requests, schema)
    asked = with_schemas(REQUESTS.name, {"rating": schema})
    ids = dict(connection.execute(f"select column_name, column_type from (describe {asked})").fetchall())
    steps = _steps(schema, tariffs, until)
    without = empty_before(connection, [model for model, _ in steps])
    for model, contract in steps:
        if is_empty(model, without):
            load_none(connection, contract, model.name, {"request_id": ids["request_id"]})
            without.add(model.name)
        elif not write(connection, model.name, model.sql):
            without.add(model.name)


def _make_room(connection: warehouse.Connection, schema: str) -> None:
    """A fresh database in memory under that name, unless the warehouse has a schema of that name."""
    found = connection.execute(
        "select count(*) from information_schema.schemata where catalog_name = current_database() and schema_name = ?",
        [schema],
    ).fetchall()
    if not found[0][0]:
        connection.execute(f"detach database if exists {schema}")
        connection.execute(f"attach ':memory:' as {schema}")


def _write_requests(connection: warehouse.Connection, requests: pd.DataFrame | str, schema: str) -> None:
    if isinstance(requests, str):
        _create(connection, schema, requests)
        return
    with warehouse.lent(connection, "incoming_requests", requests):
        _create(connection, schema, "incoming_requests")


def _create(connection: warehouse.Connection, schema: str, source: str) -> None:
    """The requests as a table; those of a table of the warehouse as a view, which copies nothing."""
    known = [row[0] for row in connection.execute(f"describe {source}").fetchall()]
    needed = [name for name in ASKED if not REQUESTS.columns[name].nullable and name != "is_rectangular"]
    missing = sorted(set(needed) - set(known))
    if missing:
        raise ContractError(
            f"{schema}.requests", f"lacks {', '.join(missing)}", "this what-if", "give the columns of rating.requests"
        )
    columns = ", ".join(_column(name, name in known) if name != "request_id" else name for name in ASKED)
    kind = "view" if "." in source else "table"
    place = f"{_home(connection)}.{source}" if kind == "view" and not source.startswith(TEMPORARY) else source
    name = with_schemas(REQUESTS.name, {"rating": schema})
    connection.execute(f"{created(name, kind)} as select {columns}, 'asked' as sides_source from {place}")


def _home(connection: warehouse.Connection) -> str:
    """The name under which the warehouse itself is attached: a view in another database must say it."""
    return f'"{connection.execute("select current_database()").fetchall()[0][0]}"'


def _column(name: str, is_known: bool) -> str:
    return f"cast({name if is_known else 'null'} as {REQUESTS.columns[name].sql_type}) as {name}"


@cache
def _models() -> dict[str, Model]:
    """Every rating model but the requests themselves, and the expected charge lines."""
    texts = {f"rating.{name}": sql for name, sql in sql_texts("rating").items() if name != "requests"}
    texts[LINES] = sql_texts("core")["expected_charges"]
    return {name: Model(name, sql, references(sql)) for name, sql in texts.items()}


@cache
def _steps(schema: str, tariffs: str, until: str) -> tuple[tuple[Model, Contract], ...]:
    """The models in order, reading and writing `schema`, with their tariff tables in `tariffs`: all, or up to one.

    Beside each the contract of the rating's own table.
    """
    chosen = ordered(_models()) if until == LINES else needed_for(until, _models())
    renamed = {"rating": schema, "core": schema, "shop": tariffs}
    return tuple((model.elsewhere(renamed), TABLES[model.name]) for model in chosen)


def compare(connection: warehouse.Connection, since: date) -> dict[str, pd.DataFrame]:
    """What the tariff in announced.tariff_* would change for the parcels shipped since a day.

    Parcels are moved by whole years of 52 weeks until they fall into the tariff's days, so that seasons match. Returns
    the tables of models/tables/tariff_comparison.py by their names without schema. Needs a built warehouse.
    Raises NotFoundError where the carrier shipped nothing since.
    """
    texts = sql_texts("tariff_comparison")
    moved = connection.execute(texts["requests"], [since]).df()
    if moved.empty:
        raise nothing_shipped(since)
    rate(connection, moved, tariffs="announced")
    made = {
        "learned_before": with_schemas(texts["learned"], {"whatif": "rating", "announced": "shop"}),
        "learned_after": texts["learned"],
        **{name: texts[name] for name in ("pairs", "charged", "crossing_parcels")},
    }
    for name, sql in made.items():
        connection.execute(f"create or replace table whatif.{name} as {sql}")
    return {
        name: validated(connection.execute(texts[name]).df(), schema, "this comparison")
        for name, schema in COMPARISON.items()
    }


def nothing_shipped(since: date) -> NotFoundError:
    """That the tariff's carrier has no parcel to compare."""
    return NotFoundError(
        "the announced tariff",
        f"no parcel of its carrier was shipped since {since}",
        "this comparison",
        "write the carrier as the bench log does, or look back further with --months",
    )


def looked_back(connection: warehouse.Connection, months: int) -> date:
    """The day so many months before the last day of shipping. Raises NotFoundError where nothing was shipped."""
    last = connection.execute("select cast(max(shipped_on) as date) from rating.requests").fetchall()[0][0]
    if last is None:
        raise NotFoundError("records", "no parcel is on record yet", "this command", "run `dunnage review` first")
    first: date = (pd.Timestamp(last) - pd.DateOffset(months=months)).date()
    return first
