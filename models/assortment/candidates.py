"""Which carton sizes are worth considering: closed joins of what parcels need."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from models.shop_units import LENGTH, Units

Sizes = NDArray[np.float64]
_TINY = 1e-6
_LARGEST_GRID = 40_000_000


@dataclass(frozen=True, eq=False)
class Candidates:
    """Candidate inside sizes, one row each (m x 3, inches), the stocked ones first in the order given.

    stocked: how many of the first rows are stocked sizes. step_in: the step on which new sizes lie. joins: how many
    sizes the demand would need at the step that was asked for. is_complete: whether no join was left out; statement
    says it in words.
    """

    sizes_in: Sizes
    stocked: int
    step_in: float
    joins: int
    is_complete: bool
    statement: str


def round_up(sides_in: Sizes, step_in: float) -> Sizes:
    """Sides rounded up to a whole number of steps; a side already on a step (within 0.000001 step) stays."""
    return np.asarray(np.ceil(np.asarray(sides_in, dtype=float) / step_in - _TINY) * step_in)


def closed_joins(needed_in: Sizes, step_in: float = 1.0) -> Sizes:
    """Every componentwise maximum of needed sizes (n x 3), rounded up to step_in; sorted rows, m x 3.

    Complete where a size fits a parcel exactly when it is no smaller on each of the three compared sides, and where a
    larger size never costs less: any size then shrinks to the join of what it serves and serves the same parcels. Goods
    that may turn are compared on sorted sides; for goods that must stay upright, and for cartons that are cut down, the
    set is sound but not proven complete.
    Raises ValueError when the grid of distinct sides passes 40 million cells: take a larger step.
    """
    rounded = np.unique(np.round(round_up(needed_in, step_in) / step_in).astype(np.int64), axis=0)
    if len(rounded) == 0:
        return np.empty((0, 3))
    axes = [np.unique(rounded[:, side]) for side in range(3)]
    shape = tuple(len(axis) for axis in axes)
    if int(np.prod(shape)) > _LARGEST_GRID:
        raise ValueError(f"{shape} distinct sides are too many for one grid; take a larger step")
    places = np.nonzero(_is_join(rounded, axes, shape))
    return np.column_stack([axis[place] for axis, place in zip(axes, places, strict=True)]).astype(float) * step_in


def _is_join(rounded: NDArray[np.int64], axes: list[NDArray[np.int64]], shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """A cell is a join when each of its sides is reached by a needed size that is no larger on the two other sides."""
    needed = np.zeros(shape, dtype=bool)
    needed[tuple(np.searchsorted(axis, rounded[:, side]) for side, axis in enumerate(axes))] = True
    joins = np.ones(shape, dtype=bool)
    for side in range(3):
        reached = needed
        for other in {0, 1, 2} - {side}:
            reached = np.logical_or.accumulate(reached, axis=other)
        joins &= reached
    return joins


def candidate_sizes(
    needed_in: Sizes, units: Units, step_in: float = 1.0, stocked_in: Sizes | None = None, limit: int = 4000
) -> Candidates:
    """Stocked sizes, then the closed joins of the needed sizes; the step is doubled while there are more than limit.

    needed_in: n x 3; stocked_in: s x 3 inside sizes already in stock, always kept and listed first.
    units: in which the statement writes steps.
    """
    if limit < 1 or step_in <= 0:
        raise ValueError("limit must be at least 1 and step_in above zero")
    stocked = np.empty((0, 3)) if stocked_in is None else np.asarray(stocked_in, dtype=float).reshape(-1, 3)
    joins, step = closed_joins(needed_in, step_in), step_in
    asked = len(joins)
    while len(joins) > limit:
        step *= 2
        joins = closed_joins(needed_in, step)
    return Candidates(
        np.vstack([stocked, _without(joins, stocked)]),
        len(stocked),
        step,
        asked,
        step == step_in,
        _statement(asked, len(joins), units.measured(LENGTH, step_in), units.measured(LENGTH, step), limit),
    )


def _without(joins: Sizes, stocked: Sizes) -> Sizes:
    taken = {tuple(row) for row in np.round(stocked, 6).tolist()}
    return joins[[tuple(row) not in taken for row in np.round(joins, 6).tolist()]].reshape(-1, 3)


def _statement(asked: int, joins: int, asked_step: str, step: str, limit: int) -> str:
    if step == asked_step:
        return f"all {asked:,} sizes that the demand can need in steps of {asked_step}"
    return (
        f"{joins:,} sizes in steps of {step}; the demand can need {asked:,} in steps of {asked_step}, "
        f"more than the limit of {limit:,}, so a finer size may do better"
    )
