"""Chooses which k carton sizes to stock, with a proof of how far from the best the choice can be."""

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, nan

import numpy as np

from models.assortment.branch import Progress, begin, explore
from models.assortment.cover import least_cover
from models.assortment.instance import Floats, Indices, Instance, make_ready
from models.assortment.problem import Assortment, AssortmentProblem, Limits
from models.assortment.search import choose_greedily, improve, trimmed

_ROUNDING = 2e-9


@dataclass(frozen=True, eq=False)
class Start:
    """Known of a like problem: sizes of a good assortment, and prices of the classes (n') that bound it well."""

    sizes: tuple[int, ...] = ()
    prices: Floats | None = None


def choose_assortment(
    problem: AssortmentProblem, limits: Limits | None = None, start: tuple[int, ...] = ()
) -> Assortment:
    """As `choose_ready`, of one problem; the seconds count from here, so that making ready is in them."""
    limits = limits or Limits()
    began = limits.clock() if limits.clock else nan
    instance, unserved = make_ready(problem)
    return choose_ready(instance, unserved, limits, Start(start), began)[0]


def choose_ready(
    instance: Instance, unserved: tuple[int, ...], limits: Limits, start: Start, began: float | None = None
) -> tuple[Assortment, Start]:
    """The cheapest assortment of at most instance.count sizes, as far as the limits allow, with its proven bound.

    An uncapacitated p-median problem with a fixed cost per size (J. E. Beasley, "A note on solving large p-median
    problems", European Journal of Operational Research 21 (1985) 270-273), made ready once (instance.py). unserved:
    classes that no candidate fits, left out of it. start: known of a like problem, to begin from; the answer's own
    comes with it. began: reading of the clock from which the seconds count; now if None. A KeyboardInterrupt ends the
    search and the best assortment so far is returned. Raises InfeasibleError when so few sizes cannot serve all others.
    """
    if began is None:
        began = limits.clock() if limits.clock else nan
    if len(instance.classes) == 0:
        return _serving_none(instance, unserved, _elapsed(limits, began)), start
    is_over = _deadline(limits, began)
    progress = begin(instance, _first_rows(instance, start.sizes, is_over), limits.gap, start.prices)
    is_interrupted = False
    try:
        better = trimmed(instance, improve(instance, progress.rows, is_over))
        progress = begin(instance, better, limits.gap, start.prices)
        explore(progress, is_over)
    except KeyboardInterrupt:
        is_interrupted = True
    found = _answer(progress, unserved, _elapsed(limits, began), is_interrupted)
    return found, Start(found.sizes, progress.prices)


def _deadline(limits: Limits, began: float) -> Callable[[], bool]:
    clock = limits.clock
    if clock is None:
        return lambda: False
    return lambda: clock() - began >= limits.seconds


def _elapsed(limits: Limits, began: float) -> float:
    try:
        return limits.clock() - began if limits.clock else nan
    except KeyboardInterrupt:
        return nan


def _first_rows(instance: Instance, start: tuple[int, ...], is_over: Callable[[], bool]) -> Indices:
    """An assortment to begin from that serves every class, grown from the start if that is allowed."""
    known = np.flatnonzero(np.isin(instance.original, np.array(start, dtype=np.int64)))
    known = np.union1d(known, instance.kept).astype(np.int64)
    rows = choose_greedily(instance, known if len(known) <= instance.count else None)
    if instance.total(rows) >= instance.cap:
        rows = improve(instance, rows, is_over)
    if instance.total(rows) >= instance.cap:
        rows = least_cover(instance)
    return trimmed(instance, rows)


def _serving_none(instance: Instance, unserved: tuple[int, ...], seconds: float) -> Assortment:
    fixed = float(instance.fixed[instance.kept].sum())
    kept = tuple(instance.original[instance.kept].tolist())
    return Assortment(kept, _nobody(instance, unserved), fixed, fixed, 0.0, True, unserved, seconds)


def _nobody(instance: Instance, unserved: tuple[int, ...]) -> Indices:
    return np.full(len(instance.classes) + len(unserved), -1, dtype=np.int64)


def _answer(progress: Progress, unserved: tuple[int, ...], seconds: float, is_interrupted: bool) -> Assortment:
    instance = progress.instance
    rows = trimmed(instance, progress.rows)
    total = instance.total(rows)
    bound = min(progress.bound(), total)
    assignment = _nobody(instance, unserved)
    assignment[instance.classes] = instance.original[rows][instance.by_size[rows].argmin(axis=0)[instance.column]]
    return Assortment(
        sizes=tuple(instance.original[rows].tolist()),
        assignment=assignment,
        total_cents=total,
        bound_cents=bound,
        gap=relative_gap(total, bound),
        is_proven=total - bound <= _ROUNDING * abs(total),
        unserved=unserved,
        seconds=seconds,
        is_interrupted=is_interrupted,
    )


def relative_gap(total: float, bound: float) -> float:
    """(total - bound) / total, zero when they are equal, inf when the total is zero and they are not."""
    if total <= bound:
        return 0.0
    return (total - bound) / abs(total) if total else inf
