"""Builds the SQL models in the order of their own references, in one transaction, and holds each to its contract.

The path is the name: models/sql/marts/parcel_costs.sql builds marts.parcel_costs. A reader sees either the whole of
the last build or the whole of this one.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict

from models.contracts import sql_type
from models.tables import TABLES
from pipelines import warehouse
from pipelines.build.checks import run_checks, stop_on, write_warnings
from pipelines.build.holding import hold_to_contract
from pipelines.build.order import Model, models, ordered
from pipelines.settings import Settings

Progress = Callable[[str], None]
Make = Callable[[warehouse.Connection, Settings, Sequence[Model], Progress, Callable[[Model], None]], None]


def make_here(
    connection: warehouse.Connection,
    settings: Settings,
    models: Sequence[Model],
    progress: Progress,
    held: Callable[[Model], None],
) -> None:
    """Make the tables in the warehouse itself, in the given order; `held` is called with each model made."""
    for model in models:
        progress(model.name)
        connection.execute(f"create schema if not exists {model.schema}")
        connection.execute(f"create or replace table {model.name} as {model.sql}")
        held(model)


def build(
    connection: warehouse.Connection,
    settings: Settings,
    prepare: Iterable[Callable[[], None]] = (),
    conclude: Iterable[Callable[[], None]] = (),
    inputs: str = "",
    progress: Progress = lambda name: None,
    make: Make = make_here,
) -> None:
    """Build every model or none; analysis.warnings keeps what the warn checks found.

    Raises CheckFailedError where a stop check finds rows, ContractError where a table breaks its contract.

    prepare: what must stand in the warehouse before (tariff tables); conclude: what is computed on the marts.
    Both run inside the build's transaction. make: where the tables are made (pipelines/outgrown for Spark).
    """
    with warehouse.transaction(connection):
        _write_settings(connection, asdict(settings.shop) | asdict(settings.near_misses))
        for step in prepare:
            step()
        make(
            connection,
            settings,
            ordered(models()),
            progress,
            lambda model: hold_to_contract(connection, model.name, TABLES[model.name]),
        )
        for step in conclude:
            step()
        stop_on(run_checks(connection, "stop"))
        write_warnings(connection, run_checks(connection, "warn"))
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
        "select (select count(*) from intake.deliveries), "
        "(select count(*) from rejected.rows where resolved_by is null)"
    ).fetchall()
    texts = sorted((name, model.sql) for name, model in models().items())
    return hashlib.sha256(repr((landed, settings.shop, settings.near_misses, texts, inputs)).encode()).hexdigest()


def _write_settings(connection: warehouse.Connection, stated: Mapping[str, object]) -> None:
    contract = TABLES["shop.settings"]
    said = {name: value for name, value in stated.items() if name in contract.columns}
    typed = ", ".join(f"cast(? as {sql_type(contract.columns[name])}) as {name}" for name in said)
    connection.execute(f"create or replace table shop.settings as select {typed}", list(said.values()))
