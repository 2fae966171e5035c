"""Choosing k carton sizes for made-up shops and networks: seconds of the processor and proven gap against their limits.

Problems of tests.models.assortment.instances. Hard ones have many sizes that differ by an inch or two; skewed ones a
few classes that are most of the demand; flat ones classes that cost the same. Networks are made like the published
p-median problems with a third of the vertices chosen, whose relaxed sets lie far from the best.
"""

from __future__ import annotations

from collections.abc import Iterator
from time import process_time

from models.assortment import AssortmentProblem, Limits
from models.assortment.solve import choose_assortment
from tests.models.assortment.instances import flat, network, shop, skewed

Result = tuple[str, float, float]
_PROVEN = 1e-9
_COUNTS = (3, 6, 9, 12)


def run() -> list[Result]:
    """(what, measured, limit): a measured value above its limit is a failure."""
    results = _measured("4,284 classes, 1,120 sizes, 8 stocked, proven", shop(1, 60, 4284, 1120, 8), 1.0, 0.0)
    for what, problem in _hard():
        results += _measured(what, problem, 10.0, 0.005)
    for vertices in (300, 400, 600):
        results += _measured(f"network of {vertices}, a third", network(vertices, vertices // 3), 10.0, 0.0)
    return results


def _hard() -> Iterator[tuple[str, AssortmentProblem]]:
    for count in _COUNTS:
        yield f"4,905 classes, 3,166 sizes, {count} stocked, to .5 %", shop(3, 150, 4905, 3166, count)
        yield f"the same skewed, {count} stocked", skewed(5, count)
        yield f"4,000 classes, 2,500 sizes, flat, {count} stocked", flat(7, count)


def _measured(what: str, problem: AssortmentProblem, seconds: float, gap: float) -> list[Result]:
    """Stops at the gap; should time run out first, the gap tells."""
    answer = choose_assortment(problem, Limits(gap, 1.2 * seconds, process_time))
    return [(f"{what}: seconds", answer.seconds, seconds), (f"{what}: gap", answer.gap, max(gap, _PROVEN))]


if __name__ == "__main__":
    for what, measured, limit in run():
        print(f"{what}: {measured:.4g} (limit {limit:g})", flush=True)
