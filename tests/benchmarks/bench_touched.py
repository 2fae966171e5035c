"""A day's records brought into ten years of history: what they touch alone, against building everything.

Only when named: ten million parcels take half an hour and some 40 GB of disk.
`python -m tests.benchmarks.bench_touched 1000000` takes so many. The copy for readers comes after either build and is
told apart: it takes what the disk takes.

Two runs showed 4.6 and 4.4 %, 21.8 and 20.5 s of some 470. The longest parts are the rows taken out of tables by parcel
(four seconds: a parcel's number is looked for in twenty of them) and analyses over all months (seven).
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from models.tables.incremental_rules import DATED
from pipelines.build.up_to_date import build_changed
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.benchmarks.large_shop import large_shop
from tests.benchmarks.reviewed import Steps, Watch

Result = tuple[str, float, float]

PARCELS = 10_000_000
COPY = "copy for readers"
MONTHS = 126
MOST_SHARE = 0.05
MOST_GIGABYTES = 6.0
# What comes in one day: sales and parcels of it, claims opened on it, and the week's invoice.
DAY = "date '2026-10-21'"
INVOICED = f"(select max(invoiced_on) from accepted.charges where invoiced_on <= {DAY})"


def run(parcels: int = PARCELS) -> list[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    with tempfile.TemporaryDirectory() as folder:
        _alone("make", folder, str(parcels))
        whole = _built(f"all {parcels:,} parcels", folder)
        rows = _alone("land", folder).splitlines()[-1]
        os.sync()  # a day comes long after: nothing of the first build is still to be written
        day = _built(f"a day ({rows} rows)", folder)
    for name, (seconds, gigabytes) in day.longest().items():
        print(f"    of these {seconds:6.2f} s {gigabytes:5.2f} GB  {name}", flush=True)
    return [
        (
            f"a day brought into {parcels:,} parcels, share of building everything",
            day.seconds / whole.seconds,
            MOST_SHARE,
        ),
        ("peak memory of that day, in GB", day.gigabytes, MOST_GIGABYTES),
    ]


def _built(what: str, folder: str) -> Steps:
    steps = Steps(json.loads(_alone("build", folder).splitlines()[-1]))
    copied, _ = steps.pop(COPY)
    print(f"    {what}: {steps.seconds:.1f} s, then {copied:.1f} s to copy for readers", flush=True)
    return steps


def _alone(*said: str) -> str:
    command = [sys.executable, "-m", "tests.benchmarks.bench_touched", *said]
    return subprocess.run(command, stdout=subprocess.PIPE, text=True, check=True).stdout


def make(folder: Path, parcels: str) -> None:
    """The shop's folder, with one day's rows put aside."""
    settings = large_shop(folder / "shop", int(parcels), MONTHS)
    with warehouse.writing(settings, "bench") as connection:
        connection.execute("create schema aside")
        for kind, day in DATED.items():
            chosen = f"where cast({day} as date) = {INVOICED if kind == 'charges' else DAY}"
            connection.execute(f"create table aside.{kind} as select * from accepted.{kind} {chosen}")
            connection.execute(f"delete from accepted.{kind} {chosen}")


def land(folder: Path) -> None:
    """Bring the day's rows in, a delivery of each kind; prints how many."""
    settings = load(folder / "shop")
    rows = 0
    with warehouse.writing(settings, "bench") as connection:
        for kind in DATED:
            number = connection.execute("select max(delivery_id) + 1 from intake.deliveries").fetchall()[0][0]
            like = "select * replace (? as delivery_id, ? as kind) from intake.deliveries limit 1"
            connection.execute(f"insert into intake.deliveries {like}", [number, kind])
            landed = f"select * replace ({number} as delivery_id) from aside.{kind}"
            rows += connection.execute(f"insert into accepted.{kind} by name {landed}").fetchall()[0][0]
    print(rows)


def build(folder: Path) -> None:
    """Build what has changed; prints the seconds and the peak memory of each part as the last line."""
    watch = Watch()
    watch.begin("records touched")
    settings = load(folder / "shop")
    with warehouse.writing(settings, "bench") as connection:
        build_changed(connection, settings, watch.begin)
        watch.begin(COPY)
    watch.begin("")
    print(json.dumps(watch.parts))


ASKED: dict[str, Callable[..., None]] = {"make": make, "land": land, "build": build}

if __name__ == "__main__":
    if sys.argv[1] in ASKED:
        ASKED[sys.argv[1]](Path(sys.argv[2]), *sys.argv[3:])
    else:
        for what, figure, limit in run(int(sys.argv[1])):
            print(f"{figure:12.4g}  limit {limit:10.4g}  {what}")
