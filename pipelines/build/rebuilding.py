"""Builds the SQL models in the order of their own references, in one transaction, and holds each to its contract.

The path is the name: models/sql/marts/parcel_costs.sql builds marts.parcel_costs. A reader sees either the whole of
the last build or the whole of this one. Only what new records touch is built again (incremental.py).
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict

from models.tables import TABLES
from models.tables.incremental_rules import WORKINGS
from models.tariffs.rules import Tariff
from pipelines.build import acknowledgements, decisions, shop_words, spark, tariffs, trials
from pipelines.build.checks import run_checks, stop_on, write_warnings
from pipelines.build.incremental import touched
from pipelines.build.last_build import NO_INPUTS, Inputs, last_delivery, mark
from pipelines.build.making import make_here
from pipelines.build.partitions import parts
from pipelines.build.sql_models import models, ordered
from pipelines.build.up_to_date import Progress
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings


def load_grounds(connection: warehouse.Connection, settings: Settings, price_lists: Sequence[Tariff]) -> None:
    """Bring what the models read beside records: settings, tariffs, the shop's logs and what words mean."""
    _write_settings(connection, settings)
    tariffs.write(connection, price_lists)
    decisions.load(connection, settings)
    acknowledgements.load(connection, settings)
    trials.load(connection, settings)
    shop_words.load(connection, settings)


@contextmanager
def rebuilt(
    connection: warehouse.Connection,
    settings: Settings,
    price_lists: Sequence[Tariff] = (),
    inputs: Inputs = NO_INPUTS,
    progress: Progress = lambda name: None,
) -> Iterator[None]:
    """Brings every table of a SQL model up to the records, or none; the block computes what is based on them.

    All of it is one transaction, the block too. Where only records have come since the last build, the parcels and
    months that they touch are built beside the warehouse and merged; otherwise every model is built.
    analysis.warnings keeps what the warn checks found. price_lists: the tariffs to rate by. Raises CheckFailedError
    where a stop check finds rows, ContractError where a table breaks its contract.
    """
    on_spark = settings.engine.kind == "spark"
    since = None if on_spark else last_delivery(connection, settings, inputs)
    with touched(connection, since, progress) as months, warehouse.transaction(connection):
        load_grounds(connection, settings, price_lists)
        if months:
            progress("merging")
            months.merge()
        wanted = [model for model in ordered(models()) if months is None or model.name not in parts().merged]
        make = spark.make if on_spark else make_here
        make(connection, settings, wanted, progress)
        for name in sorted(WORKINGS):
            connection.execute(f"drop table if exists {name}")
        yield
        progress("checks")
        stop_on(run_checks(connection, "total") + (run_checks(connection, "stop") if months is None else []))
        write_warnings(connection, run_checks(connection, "warn"), settings.shop.shown_units)
        mark(connection, settings, inputs)
        progress("commit")


def _write_settings(connection: warehouse.Connection, settings: Settings) -> None:
    contract = TABLES["shop.settings"]
    stated = asdict(settings.shop) | asdict(settings.near_misses) | settings.shop.shown_units.for_models()
    stated |= {"is_tax_reclaimed": settings.shop.tax_reclaimed}
    said = {name: value for name, value in stated.items() if name in contract.columns}
    typed = ", ".join(f"cast(? as {contract.columns[name].sql_type}) as {name}" for name in said)
    connection.execute(f"create or replace table shop.settings as select {typed}", list(said.values()))
