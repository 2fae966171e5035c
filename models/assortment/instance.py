"""A problem made ready for the solver: size-major costs, only served classes and candidates that may be chosen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from models.assortment.problem import AssortmentProblem

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
_FEW_CLASSES = 48
_FEW_ROWS = 128
_BLOCK_CELLS = 120_000  # about 1 MB: a block stays in the processor's cache between the passes over it


@dataclass(frozen=True, eq=False)
class Instance:
    """by_size: m' x n' costs, one row per candidate. original: candidate index in the problem of each row.

    classes: the problem's classes that are served; column: where each is in by_size, in which alike ones are added up.
    kept: rows that every assortment holds. count: how many rows at most. cap: dearer than any whole assortment, the
    price of leaving one class unserved while the search has not yet covered them all. is_whole: every figure is a whole
    number of cents, so a bound may be rounded up.
    """

    by_size: Floats
    fixed: Floats
    original: Indices
    kept: Indices
    count: int
    classes: Indices
    column: Indices
    cap: float
    is_whole: bool

    @property
    def least(self) -> Floats:
        """Least cost of each class over the candidates, n'."""
        return np.asarray(self.by_size.min(axis=0))

    def narrowed(self, rows: Indices) -> Instance:
        """The same problem with only these rows, ascending; kept rows must be among them."""
        kept = np.searchsorted(rows, self.kept)
        return replace(
            self, by_size=self.by_size[rows], fixed=self.fixed[rows], original=self.original[rows], kept=kept
        )

    def total(self, rows: Indices) -> float:
        """Cents of serving every class from these rows; cap for each class that none of them fits."""
        served = np.minimum(self.by_size[rows].min(axis=0, initial=self.cap), self.cap)
        return float(served.sum() + self.fixed[rows].sum())


def make_ready(problem: AssortmentProblem) -> tuple[Instance, tuple[int, ...]]:
    """The instance, and the classes that no candidate fits (left out of it). Takes the memory of the costs again."""
    rows = np.setdiff1d(np.arange(len(problem.fixed_cents)), np.array(problem.dropped, dtype=np.int64))
    by_size = np.ascontiguousarray(problem.costs_cents.T[rows])
    is_served = np.isfinite(by_size.min(axis=0, initial=np.inf))
    if not is_served.all():
        by_size = np.ascontiguousarray(by_size[:, is_served])
    fixed = problem.fixed_cents[rows]
    kept = np.searchsorted(rows, np.array(problem.kept, dtype=np.int64))
    cap = _cap(by_size, fixed)
    is_whole = _is_whole(fixed) and all(_is_whole(costs) for costs in by_size)
    served = np.flatnonzero(is_served)
    instance = Instance(by_size, fixed, rows, kept, problem.count, served, np.arange(len(served)), cap, is_whole)
    return _without_needless(instance), tuple(np.flatnonzero(~is_served).tolist())


def _without_needless(instance: Instance) -> Instance:
    """Alike classes first: of sums of them the rows are sooner compared. Fewer rows may make more of them alike."""
    smaller = merged(instance)
    left = undominated(smaller)
    return smaller if len(left.fixed) == len(smaller.fixed) else merged(left)


def undominated(instance: Instance) -> Instance:
    """The instance without rows that another one serves each class no dearer than, at no higher fixed cost.

    Safe: in any assortment the other row may stand in such a row's place. Kept rows stay; of equal rows the first does.
    """
    costs, fixed = instance.by_size, instance.fixed
    # Most rows are told apart by a few classes.
    few = np.ascontiguousarray(costs[:, :: max(1, costs.shape[1] // _FEW_CLASSES)])
    stays = np.ones(len(fixed), dtype=bool)
    for row in np.setdiff1d(np.arange(len(fixed)), instance.kept)[::-1]:
        stays[row] = False
        rivals = np.flatnonzero(stays & (fixed <= fixed[row]) & (few <= few[row]).all(axis=1))
        stays[row] = not any((costs[rival] <= costs[row]).all() for rival in rivals)
    return instance.narrowed(np.flatnonzero(stays))


def merged(instance: Instance) -> Instance:
    """The instance with classes added up that rank all rows alike, equal costs as equal.

    Safe: whichever rows are chosen, the same one serves them all, and in the relaxation too they are served alike.
    """
    by_class = np.ascontiguousarray(instance.by_size.T)
    groups = _alike(by_class) if by_class.size else np.arange(len(by_class))
    count = int(groups.max(initial=-1)) + 1
    if count == len(groups):
        return instance
    order = np.argsort(groups, kind="stable")
    first = np.searchsorted(groups[order], np.arange(count))
    by_size = np.ascontiguousarray(np.add.reduceat(by_class[order], first, axis=0).T)
    return replace(instance, by_size=by_size, column=groups[instance.column])


def _alike(by_class: Floats) -> Indices:
    """Of each class the number of its group: those that rank the rows alike. Few rows tell most classes apart."""
    groups = _of_equal_ranks(by_class[:, :: max(1, by_class.shape[1] // _FEW_ROWS)])
    by_group = np.argsort(groups, kind="stable")
    found, count = np.empty_like(groups), 0
    for waiting in np.split(by_group, np.flatnonzero(np.diff(groups[by_group])) + 1):
        while len(waiting):
            is_like = _rank_like_first(by_class, waiting)
            found[waiting[is_like]] = count
            waiting, count = waiting[~is_like], count + 1
    return found


def _rank_like_first(by_class: Floats, classes: Indices) -> NDArray[np.bool_]:
    """Which of the classes rank the rows as the first does: in its order all rise where it rises, nowhere else."""
    if len(classes) == 1:
        return np.ones(1, dtype=np.bool_)
    order = np.argsort(by_class[classes[0]], kind="stable")
    first = by_class[classes[0]][order]
    rises = np.flatnonzero(first[1:] > first[:-1])
    stays = np.flatnonzero(first[1:] == first[:-1])
    ordered = by_class[classes][:, order]
    is_like = (ordered[:, rises + 1] > ordered[:, rises]).all(axis=1)
    return np.asarray(is_like & (ordered[:, stays + 1] == ordered[:, stays]).all(axis=1))


def _of_equal_ranks(by_class: Floats) -> Indices:
    order = np.argsort(by_class, axis=1, kind="stable")
    ordered = np.take_along_axis(by_class, order, axis=1)
    steps = np.zeros(by_class.shape, dtype=np.int32)
    steps[:, 1:] = ordered[:, 1:] != ordered[:, :-1]
    ranks = np.empty_like(steps)
    np.put_along_axis(ranks, order, np.cumsum(steps, axis=1, dtype=np.int32), axis=1)
    return np.unique(ranks, axis=0, return_inverse=True)[1].reshape(-1).astype(np.int64)


def _cap(by_size: Floats, fixed: Floats) -> float:
    highest = np.max(by_size, axis=0, where=np.isfinite(by_size), initial=0.0)
    lowest = by_size.min(axis=0, initial=0.0)
    return 1.0 + 2.0 * float(np.maximum(highest, -lowest).sum()) + float(fixed.sum())


def _is_whole(cents: Floats) -> bool:
    return bool((cents == np.round(cents)).all())


def capped_sums(by_size: Floats, caps: Floats) -> Floats:
    """Sum over the classes of min(cost, cap of the class), one figure per row; finite where the caps are."""
    result = np.empty(len(by_size))
    for rows, capped in _capped_blocks(by_size, caps):
        capped.sum(axis=1, out=result[rows])
    return result


def capped_products(by_size: Floats, caps: Floats, weights: Floats) -> Floats:
    """min(cost, cap of the class) times weights (n x q), m x q."""
    result = np.empty((len(by_size), weights.shape[1]))
    for rows, capped in _capped_blocks(by_size, caps):
        np.matmul(capped, weights, out=result[rows])
    return result


def _capped_blocks(by_size: Floats, caps: Floats) -> Iterator[tuple[slice, Floats]]:
    """min(cost, cap) for a few rows at a time, in the same small piece of memory."""
    size = max(1, _BLOCK_CELLS // max(1, by_size.shape[1]))
    room = np.empty((size, by_size.shape[1]))
    for start in range(0, len(by_size), size):
        rows = slice(start, min(start + size, len(by_size)))
        yield rows, np.minimum(by_size[rows], caps, out=room[: rows.stop - start])
