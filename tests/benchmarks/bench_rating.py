"""Rating ten million parcels against one scan of the columns read, its memory, and the wait for a single parcel."""

from __future__ import annotations

import multiprocessing
import resource
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from models.tables.rating import PRICED
from pipelines.build import rating, tariffs
from pipelines.shop import warehouse
from pipelines.shop.settings import Engine, Settings
from tests.pipelines.parcels import demo_tariffs, holding, rated_rows, requests

Result = tuple[str, float, float]

PARCELS = 10_000_000
MOST_SCANS = 12.0
MOST_GIGABYTES = 6.0
MOST_SECONDS_FOR_ONE = 1.0
# 1,500 cartons, 550 days, 7 zones, 4 services of 2 carriers, weights to 0.01 lb, 900 postal prefixes, 400 values.
HISTORY = """
create or replace table rating.requests as
with drawn as (
    select
        i,
        cast(hash(i) % 1500 as bigint) as carton,
        cast(hash(i + 1) % 550 as integer) as day_number,
        hash(i + 7) as one,
        hash(i + 11) as two,
        hash(i * 3 + 1) as three
    from range(?) as t(i)
)
select
    'P' || lpad(cast(i as varchar), 10, '0') as request_id,
    case when one % 4 = 0 then 'Corvane' else 'Northline' end as carrier,
    case
        when one % 4 = 0 then case when one % 3 = 0 then 'standard' else 'economy' end
        else case when one % 5 = 0 then 'express' else 'ground' end
    end as service,
    cast(two % 7 + 2 as varchar) as zone,
    date '2025-05-01' + day_number as shipped_on,
    cast(8 + (carton % 97) * 0.5 as double) as length_in,
    cast(4 + (carton % 31) * 0.5 as double) as width_in,
    cast(3 + (carton % 17) * 0.5 as double) as height_in,
    three % 50 <> 0 as is_rectangular,
    round(0.5 + cast(hash(carton * 7) % 40 as double) * (three % 1000 / 1000.0 + 0.5), 2) as scale_weight_lb,
    two % 10 < 8 as is_residential,
    lpad(cast(hash(two) % 900 as varchar), 3, '0') as destination_prefix,
    cast(hash(three) % 400 * 100 as bigint) as declared_value_cents,
    'measured' as sides_source
from drawn
"""
SCAN = """
select max(request_id), max(carrier), max(service), max(zone), max(shipped_on), sum(length_in), sum(width_in),
    sum(height_in), bool_or(is_rectangular), sum(scale_weight_lb), bool_or(is_residential), max(destination_prefix),
    sum(declared_value_cents)
from rating.requests
"""


def run() -> list[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    with multiprocessing.get_context("spawn").Pool(1) as alone:
        scans, gigabytes = alone.apply(at_scale, (PARCELS,))
    return [
        (f"rating {PARCELS:,} parcels, processor time in scans of the columns it reads", scans, MOST_SCANS),
        ("peak memory of that, in GB", gigabytes, MOST_GIGABYTES),
        ("seconds to rate one parcel with its lines", one_parcel(), MOST_SECONDS_FOR_ONE),
    ]


def at_scale(parcels: int) -> tuple[float, float]:
    """In its own process: how many scans the narrow rating takes, and the process's peak memory in GB."""
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(folder=Path(folder), engine=Engine(memory_limit="5GB"))
        with warehouse.writing(settings, "bench") as connection:
            tariffs.write(connection, demo_tariffs())
            connection.execute(HISTORY, [parcels])
            connection.execute("set enable_progress_bar = false")
            # Processor time of all threads: what else runs on the machine hardly changes the ratio.
            scan = _quickest(lambda: connection.execute(SCAN).fetchall(), 3, time.process_time)
            rate = _quickest(lambda: rating.rate(connection, "rating.requests", until=PRICED), 3, time.process_time)
            priced = connection.execute("select count(expected_cents) from whatif.priced").fetchall()[0][0]
            assert priced > parcels * 0.9, f"only {priced:,} parcels were priced"
    return rate / scan, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6


def _quickest(work: Callable[[], object], times: int, clock: Callable[[], float] = time.perf_counter) -> float:
    seconds = []
    for _ in range(times):
        started = clock()
        work()
        seconds.append(clock() - started)
    return min(seconds)


def one_parcel() -> float:
    """Seconds for one parcel, lines and all, once the texts are rewritten."""
    with holding(demo_tariffs()) as connection:
        asked = requests({"carrier": "Northline", "service": "ground", "zone": "5"})
        return _quickest(lambda: rated_rows(connection, asked), 5)
