"""How each step of a review grows from a hundred thousand parcels to ten million: its seconds and its memory.

Only when named: it takes half an hour and some 40 GB of disk. `python -m tests.benchmarks.bench_growth 1000000` stops
at that size. Up to a million parcels are spread over eighteen months, three million over three years, ten million over
ten: some 80,000 a month, what a fulfilment house ships. The drawing lies in build/growth.html.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

import plotly.graph_objects as go

from tests.benchmarks.reviewed import Steps, parts

Result = tuple[str, float, float]

MONTHS = {100_000: 18, 300_000: 18, 1_000_000: 18, 3_000_000: 36, 10_000_000: 126}
MOST_GIGABYTES = 6.0
MOST_EXPONENT = 1.2  # 1 is in proportion; sorting alone takes a little more
DRAWING = Path("build") / "growth.html"


def run(most: int = max(MONTHS)) -> list[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    found = {parcels: measured(parcels) for parcels in MONTHS if parcels <= most}
    print(f"    drawn in {drawn(found)}", flush=True)
    peaks = ((f"peak GB with {parcels:,} parcels", steps.gigabytes, MOST_GIGABYTES) for parcels, steps in found.items())
    return [*peaks, *exponents(found)]


def measured(parcels: int) -> Steps:
    """The steps of one size, printed as they are known."""
    found = parts(parcels, MONTHS[parcels])
    for name, (seconds, gigabytes) in [*found.grouped().items(), *found.longest().items()]:
        print(f"    of {parcels:,} parcels {seconds:8.2f} s {gigabytes:5.2f} GB  {name}", flush=True)
    print(f"    of {parcels:,} parcels {found.seconds:8.2f} s {found.gigabytes:5.2f} GB  all", flush=True)
    return found.grouped()


def exponents(found: Mapping[int, Steps]) -> Iterator[Result]:
    """The power of the number of parcels with which each step and the whole grow; less than a second tells nothing."""
    fewest, most = min(found), max(found)
    pairs = {name: (found[fewest][name][0], found[most][name][0]) for name in found[most]}
    pairs["all steps"] = found[fewest].seconds, found[most].seconds
    for name, (few, many) in pairs.items():
        if many >= 1 and most > fewest:
            power = math.log(many / few) / math.log(most / fewest)
            yield f"{name}, exponent of growth from {fewest:,} to {most:,}", power, MOST_EXPONENT


def drawn(found: Mapping[int, Steps]) -> Path:
    """Seconds by parcels, one line a step, both scales logarithmic; returns the page's path."""
    figure = go.Figure()
    for name in found[max(found)]:
        seconds = [steps[name][0] for steps in found.values()]
        figure.add_scatter(x=list(found), y=seconds, name=name, mode="lines+markers")
    whole = [steps.seconds for steps in found.values()]
    figure.add_scatter(x=list(found), y=whole, name="all steps", mode="lines+markers", line={"width": 4})
    figure.update_xaxes(type="log", title="parcels")
    figure.update_yaxes(type="log", title="seconds of the first review")
    DRAWING.parent.mkdir(exist_ok=True)
    figure.write_html(DRAWING, include_plotlyjs=True)
    return DRAWING.resolve()


if __name__ == "__main__":
    for what, figure, limit in run(int(sys.argv[1])):
        print(f"{figure:12.4g}  limit {limit:10.4g}  {what}")
