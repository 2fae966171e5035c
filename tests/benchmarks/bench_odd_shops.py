"""Twelve shops unlike the demo, from `init` to page, letter and workbook, held against their own books."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.odd_shops import accounted, judging, reviewing, surfaces, walking
from tests.odd_shops.plans import PLANS
from tests.odd_shops.trade import shop


def run() -> Iterator[tuple[str, float, float]]:
    """Per shop: what stands empty or is made of nothing, figures and statements that are not the books'."""
    with tempfile.TemporaryDirectory() as folder:
        for name, plan in PLANS.items():
            made = shop(plan)
            place = reviewing.reviewed(Path(folder) / name.replace(" ", "-"), made)
            seen = walking.page(reviewing.page_of(place, plan))
            faults = walking.faults(plan, place)
            for fault, count in faults.items():
                print(f"    {count} {fault}")
            wrong = [*judging.wrong_figures(made, seen), *judging.untrue_sentences(made, seen)]
            print(*(f"    {each}" for each in wrong), sep="\n")
            yield f"{name}: empty, vacuous, or made of nothing", faults.total(), 0
            yield f"{name}: figures and statements that are not the books'", len(wrong), 0
            strange = accounted.strange(surfaces.written(place, f"{plan.month:%Y-%m}"))
            print(*(f"    {each}" for each in strange), sep="\n")
            yield f"{name}: sentences of all surfaces that are nobody's, words made of nothing", len(strange), 0
