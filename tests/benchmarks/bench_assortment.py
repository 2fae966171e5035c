"""Choosing k carton sizes for made-up shops: seconds and proven gap against their limits.

The limits leave room for a machine half as fast. Both problems have goods, candidates and postage of
tests.models.assortment.instances; the second has many sizes that differ by an inch or two, which is what makes it hard.
"""

from __future__ import annotations

from time import monotonic

from models.assortment import AssortmentProblem, Limits, choose_assortment
from tests.models.assortment.instances import shop

_PROVEN = 1e-9


def run() -> list[tuple[str, float, float]]:
    """(what, measured, limit): a measured value above its limit is a failure."""
    plain, hard = shop(1, 60, 4000, 1100, 8), shop(3, 150, 4900, 3200, 6)
    return [
        *_measured("4,000 classes, 1,100 sizes, 8 stocked, proven", plain, 5.0, 0.0),
        *_measured("4,900 classes, 3,200 sizes of 150 item types, 6 stocked, to 1 %", hard, 60.0, 0.01),
    ]


def _measured(what: str, problem: AssortmentProblem, seconds: float, gap: float) -> list[tuple[str, float, float]]:
    """Stops at the gap; should time run out first, the gap tells."""
    answer = choose_assortment(problem, Limits(gap, seconds, monotonic))
    return [(f"{what}: seconds", answer.seconds, seconds), (f"{what}: gap", answer.gap, max(gap, _PROVEN))]
