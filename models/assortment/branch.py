"""Proof: branch and bound on the Lagrangian bound, with candidates fixed in or out by what they are worth."""

import heapq
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from itertools import combinations
from math import comb

import numpy as np
from numpy.typing import NDArray

from models.assortment.bound import Dual, ascend, first_dual, pick
from models.assortment.instance import Floats, Indices, Instance
from models.assortment.search import improve, trimmed

_ROUNDS = 40  # of one climb; rows are fixed after each, which makes the next one cheaper
_ROOT_CLIMBS, _ROOT_STEP, _PART_STEP, _SHORT_STEP = 6, 1.0, 0.25, 0.02
_MUCH_NARROWED = 0.7
_FEW = 300  # sets of rows that are sooner tried than bounded
_ROUNDING = 1e-9
# One of so many relaxed sets is improved although it does not beat the best; after each in vain one of more.
_IMPROVED_OF, _WAIT_LONGER, _LONGEST = 30, 1.5, 10_000


@dataclass(order=True)
class Node:
    """A part of the choice: the rows still allowed, those among them that are in for certain, and the dual so far.

    climbs: how many times its bound is to be raised before it is halved. step: the first step of the next climb.
    """

    bound: float
    rows: Indices = field(compare=False)
    kept: Indices = field(compare=False)
    prices: Floats = field(compare=False)
    climbs: int = field(default=1, compare=False)
    step: float = field(default=_PART_STEP, compare=False)


@dataclass
class Progress:
    """What is known at any moment, so that an interruption loses nothing: best rows, their total, parts still open.

    running: the dual of the part being worked on, which stays in `parts` until its halves replace it.
    prices: of the classes (n'), the last ones while a single part was open; a start for a like problem.
    heard: relaxed sets since one was last improved; one of `interval` is.
    """

    instance: Instance
    gap: float
    rows: Indices
    total: float
    parts: list[Node]
    prices: Floats
    running: Dual | None = None
    nodes: int = 0
    heard: int = 0
    interval: int = _IMPROVED_OF

    def goal(self) -> float:
        """A part with a bound above this holds no assortment worth looking for."""
        least_saving = 0.9 if self.instance.is_whole else _ROUNDING * abs(self.total)
        allowed_gap = self.gap * (1 - _ROUNDING) * abs(self.total)  # a hair less, so that rounding cannot pass the gap
        return self.total - max(least_saving, allowed_gap)

    def bound(self) -> float:
        """Proven for the whole problem; rounded up where every figure is whole."""
        running = self.running.proven if self.running else -np.inf
        opened = [max(part.bound, running) if place == 0 else part.bound for place, part in enumerate(self.parts)]
        proven = min([self.goal(), *opened])
        return min(self.total, float(np.ceil(proven - 0.05)) if self.instance.is_whole else proven)

    def takes_up(self, total: float) -> bool:
        """Counts a relaxed set; whether it is to be improved: one that beats the best so far, else one of so many."""
        self.heard += 1
        if total >= self.total and self.heard < self.interval:
            return False
        self.heard, self.interval = 0, min(int(self.interval * _WAIT_LONGER), _LONGEST)
        return True

    def offer(self, rows: Indices, total: float) -> None:
        """Takes a better assortment, rows of the whole instance."""
        if total < self.total:
            self.rows, self.total, self.interval = rows, total, _IMPROVED_OF


def begin(instance: Instance, rows: Indices, gap: float, prices: Floats | None = None) -> Progress:
    """Progress before any proof: these rows are the best known, the whole problem is one open part.

    prices: of the classes (n'), good ones for a like problem; without them each class is worth what it costs now.
    """
    if prices is None:
        prices = np.minimum(instance.by_size[rows].min(axis=0, initial=instance.cap), instance.cap)
    plain = float(instance.least.sum() + instance.fixed[instance.kept].sum())
    whole = Node(plain, np.arange(len(instance.fixed)), instance.kept, prices, _ROOT_CLIMBS, _ROOT_STEP)
    return Progress(instance, gap, rows, instance.total(rows), [whole], prices)


def explore(progress: Progress, is_over: Callable[[], bool]) -> None:
    """Works on the part with the least bound until all are settled or time is over; progress holds the result."""
    while progress.parts and not is_over():
        rest = _split(progress, progress.parts[0], is_over)
        if is_over():
            return
        parts = [part for part in progress.parts[1:] + rest if part.bound <= progress.goal()]
        heapq.heapify(parts)
        progress.running = None  # first: it speaks of the part that goes
        progress.parts = parts


def _split(progress: Progress, part: Node, is_over: Callable[[], bool]) -> list[Node]:
    """Bounds one part, fixes what can be fixed, and returns what is left to do; nothing when it is settled."""
    instance = replace(progress.instance.narrowed(part.rows), kept=np.searchsorted(part.rows, part.kept))
    if part.bound > progress.goal() or not np.isfinite(instance.least).all():
        return []
    dual = first_dual(instance, part.prices, part.bound)
    progress.running = dual
    progress.nodes += 1
    offer = _offering(progress, instance, is_over)
    step = ascend(instance, dual, progress.goal, _ROUNDS, part.step, offer, is_over)
    if len(progress.parts) == 1:
        progress.prices = dual.prices
    if dual.proven > progress.goal():
        return []
    if dual.bound == -np.inf:
        return [part]  # time was over before the first round: nothing is known of what the rows are worth
    return _rest(progress, instance, dual, replace(part, climbs=part.climbs - 1, step=max(step, _SHORT_STEP)))


def _offering(progress: Progress, instance: Instance, is_over: Callable[[], bool]) -> Callable[[Indices], None]:
    """Offers the rows of a narrowed instance, improved, where they are taken up."""
    origin = np.searchsorted(progress.instance.original, instance.original)

    def offer(rows: Indices) -> None:
        if len(rows) and progress.takes_up(instance.total(rows)):
            better = trimmed(instance, improve(instance, rows, is_over))
            progress.offer(origin[better], instance.total(better))

    return offer


def _rest(progress: Progress, instance: Instance, dual: Dual, part: Node) -> list[Node]:
    """What is left of a part once rows are fixed by worth: nothing, itself for another climb, or its two halves."""
    stays, surely = _fixed(instance, dual, progress.goal())
    origin = np.searchsorted(progress.instance.original, instance.original)
    undecided = np.setdiff1d(np.flatnonzero(stays), surely)
    room = instance.count - len(surely)
    if room < 0:
        return []
    if sum(comb(len(undecided), size) for size in range(room + 1)) <= _FEW:
        _try_all(progress, instance, origin, surely, undecided)
        return []
    allowed = np.flatnonzero(stays)
    whole = replace(part, bound=dual.proven, rows=origin[allowed], kept=origin[surely], prices=dual.prices)
    if part.climbs > 0 or len(allowed) < _MUCH_NARROWED * len(stays):
        return [whole]
    whole = replace(whole, climbs=1, step=_PART_STEP)
    parting = undecided[int(np.abs(dual.share[undecided] - 0.5).argmin())]
    without = replace(whole, rows=origin[allowed[allowed != parting]])
    return [without, replace(whole, kept=origin[np.union1d(surely, [parting])])]


def _try_all(progress: Progress, instance: Instance, origin: Indices, surely: Indices, undecided: Indices) -> None:
    for size in range(instance.count - len(surely) + 1):
        for more in combinations(undecided.tolist(), size):
            rows = np.union1d(surely, np.array(more, dtype=np.int64))
            if len(rows):
                progress.offer(origin[rows], instance.total(rows))


def _fixed(instance: Instance, dual: Dual, goal: float) -> tuple[NDArray[np.bool_], Indices]:
    """Rows that may still be in a better assortment (mask), and the rows that must be in one, kept ones included."""
    worth, chosen = dual.worth, pick(instance, dual.worth)
    bound = float(dual.prices.sum() + worth[chosen].sum())
    is_chosen = np.isin(np.arange(len(worth)), chosen)
    free = np.setdiff1d(chosen, instance.kept)
    is_full = len(chosen) == instance.count
    displaced = float(worth[free].max()) if is_full and len(free) else 0.0
    next_best = min(0.0, float(worth[~is_chosen].min(initial=0.0)))
    stays = is_chosen | (bound - displaced + worth <= goal)
    surely = free[bound - worth[free] + next_best > goal]
    return stays, np.union1d(instance.kept, surely).astype(np.int64)
