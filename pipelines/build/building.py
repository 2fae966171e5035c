"""Builds the SQL models in the order of their own references, in one transaction, and holds each to its contract.

The path is the name: models/sql/marts/parcel_costs.sql builds marts.parcel_costs. A reader sees either the whole of
the last build or the whole of this one. Only what new records touch is built again (touched.py).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict

from models.contracts import sql_type
from models.tables import TABLES
from models.tables.kept import WORKINGS
from pipelines.build.checks import run_checks, stop_on, write_warnings
from pipelines.build.holding import hold_to_contract
from pipelines.build.merging import merge
from pipelines.build.parts import parts
from pipelines.build.seen import NO_INPUTS, Inputs, is_current, last_delivery, mark
from pipelines.build.sql_models import Model, models, ordered
from pipelines.build.touched import touched
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

__all__ = ["Inputs", "build", "is_current", "make_here"]

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
    inputs: Inputs = NO_INPUTS,
    progress: Progress = lambda name: None,
    make: Make = make_here,
) -> None:
    """Bring every table up to the records, or none; analysis.warnings keeps what the warn checks found.

    Where only records have come since the last build, the parcels and months that they touch are built beside the
    warehouse and merged; otherwise every model is built. Raises CheckFailedError where a stop check finds rows,
    ContractError where a table breaks its contract.

    prepare: what must stand in the warehouse before (tariff tables); conclude: what is computed on the marts.
    Both run inside the build's transaction. make: where the tables are made (pipelines/build/spark for Spark).
    """
    since = last_delivery(connection, settings, inputs) if make is make_here else None
    with touched(connection, since, progress) as months, warehouse.transaction(connection):
        _write_settings(connection, asdict(settings.shop) | asdict(settings.near_misses))
        for step in prepare:
            step()
        if months:
            progress("merging")
            merge(connection, months)
        wanted = [model for model in ordered(models()) if months is None or model.name not in parts().merged]
        make(
            connection,
            settings,
            wanted,
            progress,
            lambda model: hold_to_contract(connection, model.name, TABLES[model.name]),
        )
        for name in sorted(WORKINGS):
            connection.execute(f"drop table if exists {name}")
        for step in conclude:
            step()
        progress("checks")
        stop_on(run_checks(connection, "total") + (run_checks(connection, "stop") if months is None else []))
        write_warnings(connection, run_checks(connection, "warn"))
        mark(connection, settings, inputs)
        progress("commit")


def _write_settings(connection: warehouse.Connection, stated: Mapping[str, object]) -> None:
    contract = TABLES["shop.settings"]
    said = {name: value for name, value in stated.items() if name in contract.columns}
    typed = ", ".join(f"cast(? as {sql_type(contract.columns[name])}) as {name}" for name in said)
    connection.execute(f"create or replace table shop.settings as select {typed}", list(said.values()))
