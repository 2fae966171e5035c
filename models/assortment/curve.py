"""Spend against the number of sizes, and where one more size stops paying much."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf

from models.assortment.instance import make_ready
from models.assortment.problem import Assortment, AssortmentProblem, Limits
from models.assortment.solve import Start, choose_ready, relative_gap
from models.errors import InfeasibleError

# What a point of the curve may cost more than the least; no eye tells it in the picture.
CURVE_GAP = 1e-3


@dataclass(frozen=True, eq=False)
class SpendCurve:
    """One assortment per count, ascending; knee: see `knee`, None where no point lies below.

    Counts too few to serve all classes are left out. Spend never rises with the count.
    """

    counts: tuple[int, ...]
    assortments: tuple[Assortment, ...]
    knee: int | None


def spend_curve(problem: AssortmentProblem, limits: Limits | None = None, exact: int | None = None) -> SpendCurve:
    """Assortments of 1 to problem.count sizes, each begun from the one before; limits.seconds is for the whole curve.

    exact: the count that is proven as far as limits allow, with half of the seconds left for it alone; every other is
    let go once it is proven within CURVE_GAP of the least. None: each as far as limits allow.
    Raises InfeasibleError when not even problem.count sizes serve all classes. An interruption ends the curve early.
    """
    found = list(_points(problem, limits or Limits(), exact))
    counts, assortments = tuple(count for count, _ in found), _tightened([point for _, point in found])
    return SpendCurve(counts, assortments, knee(counts, tuple(point.total_cents for point in assortments)))


def knee(counts: tuple[int, ...], totals: tuple[float, ...]) -> int | None:
    """The count whose spend lies furthest below the straight line from the fewest to the most sizes; None for fewer
    than three points or none below the line."""
    if len(counts) < 3:
        return None
    slope = (totals[-1] - totals[0]) / (counts[-1] - counts[0])
    below = [totals[0] + slope * (count - counts[0]) - total for count, total in zip(counts, totals, strict=True)]
    deepest = max(range(len(below)), key=below.__getitem__)
    return counts[deepest] if below[deepest] > 1e-9 * max(1.0, abs(totals[0])) else None


def _points(problem: AssortmentProblem, limits: Limits, exact: int | None) -> Iterator[tuple[int, Assortment]]:
    deadline = limits.clock() + limits.seconds if limits.clock else inf
    instance, unserved = make_ready(problem)
    start = Start()
    for count in range(max(1, len(problem.kept)), problem.count + 1):
        allowed = _loosened(limits, count, exact)
        if limits.clock:
            left = max(0.0, deadline - limits.clock())
            allowed = replace(allowed, seconds=left * _time_share(count, problem.count, exact))
        try:
            point, start = choose_ready(replace(instance, count=count), unserved, allowed, start)
        except InfeasibleError:
            if count == problem.count:
                raise
            continue
        yield count, point
        if point.is_interrupted:
            return


def _loosened(limits: Limits, count: int, exact: int | None) -> Limits:
    return limits if exact in (None, count) else replace(limits, gap=max(limits.gap, CURVE_GAP))


def _time_share(count: int, last: int, exact: int | None) -> float:
    """The part of the time left that this count may take: as much as each after it, where none is the exact one. That
    one takes as much as all after it together, and those before it take half of what is left."""
    points_left = last + 1 - count
    if exact is None or count > exact or points_left == 1:
        return 1 / points_left
    return 1 / 2 if count == exact else 1 / (2 * points_left)


def _tightened(points: list[Assortment]) -> tuple[Assortment, ...]:
    """A bound for more sizes holds for fewer too, so each point takes the best bound to its right."""
    tight: list[Assortment] = []
    bound = -inf
    for point in reversed(points):
        bound = min(max(bound, point.bound_cents), point.total_cents)
        gap = relative_gap(point.total_cents, bound)
        tight.append(replace(point, bound_cents=bound, gap=gap, is_proven=point.is_proven or gap <= 1e-9))
    return tuple(reversed(tight))
