"""A month's whole review at scale, from landed records to page and workbook: its time and memory."""

from __future__ import annotations

import multiprocessing
import resource
import tempfile
import time
from collections import Counter
from itertools import pairwise
from pathlib import Path

from pipelines import runs
from pipelines.settings import load
from tests.benchmarks.large_shop import large_shop

Result = tuple[str, float, float]
Steps = list[tuple[str, float]]

PARCELS = 1_000_000
MOST_SECONDS = 60.0
MOST_GIGABYTES = 6.0
FEWER_PARCELS = 100_000
MOST_SECONDS_FOR_FEWER = 30.0
SHOWN = 8


def run() -> list[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    fewer, _, _ = measured(FEWER_PARCELS)
    seconds, gigabytes, steps = measured(PARCELS)
    for name, taken in Counter(dict(steps)).most_common(SHOWN):
        print(f"    of these {taken:6.1f} s  {name}")
    return [
        (f"seconds for a review of {FEWER_PARCELS:,} parcels", fewer, MOST_SECONDS_FOR_FEWER),
        (f"seconds for a review of {PARCELS:,} parcels", seconds, MOST_SECONDS),
        ("peak memory of that, in GB", gigabytes, MOST_GIGABYTES),
    ]


def measured(parcels: int) -> tuple[float, float, Steps]:
    """Seconds, peak memory in GB, and seconds by group of steps; shop and review each in a process of their own."""
    spawned = multiprocessing.get_context("spawn")
    with tempfile.TemporaryDirectory() as folder:
        with spawned.Pool(1) as maker:
            maker.apply(make, (folder, parcels))
        with spawned.Pool(1) as alone:
            return alone.apply(review, (folder,))


def make(folder: str, parcels: int) -> None:
    """The shop's folder."""
    large_shop(Path(folder) / "shop", parcels)


def review(folder: str) -> tuple[float, float, Steps]:
    """Write the review of the latest whole month; nothing was built before."""
    marks: Steps = []
    started = time.perf_counter()
    settings = load(Path(folder) / "shop")
    month, tables = runs.month_tables(settings, None, lambda name: marks.append((name, time.perf_counter())))
    marks.append(("page and workbook", time.perf_counter()))
    runs.draw(settings, month, tables)
    ended = time.perf_counter()
    gigabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    return ended - started, gigabytes, _grouped([*marks, ("", ended)])


def _grouped(marks: Steps) -> Steps:
    """Seconds by schema of the tables built, or by step; the last analysis stands for checks, commit and copy too."""
    groups: Counter[str] = Counter()
    for (name, begun), (_, ended) in pairwise(marks):
        groups[name.split(".")[0]] += ended - begun  # type: ignore[assignment]
    return [(name, float(taken)) for name, taken in groups.items()]
