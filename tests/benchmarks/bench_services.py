"""A million parcels on every other service of two carriers, against rating them once."""

from __future__ import annotations

import multiprocessing
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from models.sql_texts import sql_texts
from models.tables.rating import PRICED
from pipelines.build import rating, services, tariffs
from pipelines.shop import warehouse
from pipelines.shop.settings import Engine, Settings
from tests.benchmarks.bench_rating import HISTORY
from tests.pipelines.parcels import demo_tariffs

Result = tuple[str, float, float]

PARCELS = 1_000_000
MOST_RATINGS = 3.0
# What the comparison reads of a built shop: parcels, no shipments, a chart of every destination, as fast everywhere.
GROUNDS = (
    """create view core.parcels as
    select
        r.request_id as parcel_id, r.shipped_on, cast(date_trunc('month', r.shipped_on) as date) as shipped_month,
        r.carrier, r.service, r.destination_prefix
    from bench.requests as r""",
    "create table core.shipment_parcels as select '' as parcel_id where false",
    """create or replace table shop.tariff_zones as
    select
        t.tariff_key, '' as service, lpad(cast(n.range as varchar), 3, '0') as destination_prefix, false as is_whole,
        cast(hash(n.range) % 7 + 2 as varchar) as zone
    from shop.tariffs as t cross join range(1000) as n""",
    """create or replace table shop.tariff_promises as
    select distinct p.service_key, p.zone, 3 as promised_days from shop.tariff_prices as p""",
)


def run() -> list[Result]:
    """(what, measured, limit): processor time of all other services in ratings of the service used."""
    with multiprocessing.get_context("spawn").Pool(1) as alone:
        ratings, share = alone.apply(at_scale, (PARCELS,))
    return [
        (f"{PARCELS:,} parcels on three other services each, in ratings of the one used", ratings, MOST_RATINGS),
        ("share of them that could not be compared", 1 - share, 0.25),
    ]


def at_scale(parcels: int) -> tuple[float, float]:
    """In its own process: how many ratings the comparison takes, and the share of parcels and services compared."""
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(folder=Path(folder), engine=Engine(memory_limit="5GB"))
        with warehouse.writing(settings, "bench") as connection:
            connection.execute("set enable_progress_bar = false")
            _prepare(connection, parcels)
            once = min(_seconds(connection, _rate) for _ in range(3))
            _make(connection, "tariff_days", "charted_zones")
            others = min(_seconds(connection, _compare) for _ in range(3))
            counts = "select count(other_cents), count(*) from analysis.parcel_services"
            found = connection.execute(counts).fetchall()[0]
    return others / once, found[0] / found[1]


def _prepare(connection: warehouse.Connection, parcels: int) -> None:
    for schema in ("bench", "core", "rating", "analysis"):
        connection.execute(f"create schema if not exists {schema}")
    tariffs.write(connection, demo_tariffs())
    connection.execute(HISTORY.replace("rating.requests", "bench.requests"), [parcels])
    for sql in GROUNDS:
        connection.execute(sql)


def _make(connection: warehouse.Connection, *names: str) -> None:
    for name in names:
        connection.execute(f"create or replace table core.{name} as {sql_texts('core')[name]}")


def _rate(connection: warehouse.Connection) -> None:
    rating.rate(connection, "bench.requests", "rating", until=PRICED)


def _compare(connection: warehouse.Connection) -> None:
    with warehouse.transaction(connection):
        services.compare(connection, 1200)


def _seconds(connection: warehouse.Connection, work: Callable[[warehouse.Connection], None]) -> float:
    started = time.process_time()
    work(connection)
    return time.process_time() - started
