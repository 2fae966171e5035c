"""The question and the answer: which k carton sizes to stock for a given demand."""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import inf, nan

import numpy as np
from numpy.typing import NDArray

from models.errors import InfeasibleError

Cents = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class AssortmentProblem:
    """Serve every demand class from at most `count` of the candidate sizes at the least cost.

    costs_cents: n classes x m candidates, cents per period of the whole class, inf where the size does not fit.
    fixed_cents: m, cents per period for stocking a size at all. kept: candidates that must be stocked (they count).
    dropped: candidates that must not be stocked.
    Raises ValueError on shapes or values that make no sense, InfeasibleError when kept, dropped and count contradict.
    """

    costs_cents: Cents
    fixed_cents: Cents
    count: int
    kept: tuple[int, ...] = ()
    dropped: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "costs_cents", np.asarray(self.costs_cents, dtype=float))
        object.__setattr__(self, "fixed_cents", np.asarray(self.fixed_cents, dtype=float))
        object.__setattr__(self, "kept", tuple(sorted(set(self.kept))))
        object.__setattr__(self, "dropped", tuple(sorted(set(self.dropped))))
        _require_numbers(self)
        _require_consistent(self)


@dataclass(frozen=True)
class Limits:
    """When to stop: at a proven gap (fraction of the total), or after so many seconds by the caller's clock.

    clock returns seconds, rising; without it there is no time limit and the answer's seconds are nan.
    """

    gap: float = 0.0
    seconds: float = inf
    clock: Callable[[], float] | None = field(default=None, compare=False)

    def __post_init__(self) -> None:
        if self.clock is None and self.seconds != inf:
            raise ValueError("a limit in seconds needs a clock")
        if not 0 <= self.gap < 1 or self.seconds < 0:
            raise ValueError("gap is a fraction from 0 to below 1, seconds are not negative")


@dataclass(frozen=True, eq=False)
class Assortment:
    """The sizes to stock and what they cost; candidates and classes are indices into the problem.

    assignment: n, the cheapest stocked size of each class, -1 for `unserved` classes, which no candidate fits and which
    are in neither figure. total_cents: cost of all other classes plus the fixed costs, cents per period.
    bound_cents: no assortment can cost less. gap: (total - bound) / total. is_proven: the gap is zero but for rounding.
    seconds: by the caller's clock, nan without one. is_interrupted: a KeyboardInterrupt ended the search.
    A period's cost is a rate, so it need not be a whole number of cents; it is where all costs are.
    """

    sizes: tuple[int, ...]
    assignment: NDArray[np.int64]
    total_cents: float
    bound_cents: float
    gap: float
    is_proven: bool
    unserved: tuple[int, ...] = ()
    seconds: float = nan
    is_interrupted: bool = False


def _require_numbers(problem: AssortmentProblem) -> None:
    costs, fixed = problem.costs_cents, problem.fixed_cents
    if costs.ndim != 2 or fixed.shape != (costs.shape[1],):
        raise ValueError(f"costs are classes x sizes and fixed costs one per size, not {costs.shape} and {fixed.shape}")
    if not (costs > -inf).all():
        raise ValueError("a cost is missing (nan) or minus infinity; a size that does not fit costs inf")
    if not (np.isfinite(fixed) & (fixed >= 0)).all():
        raise ValueError("fixed costs are finite and not negative")
    if not set(problem.kept) | set(problem.dropped) <= set(range(len(fixed))):
        raise ValueError("kept and dropped are indices of candidates")


def _require_consistent(problem: AssortmentProblem) -> None:
    both = set(problem.kept) & set(problem.dropped)
    if both:
        raise InfeasibleError(
            "assortment",
            f"candidates {sorted(both)} must be both kept and dropped",
            "the whole assortment",
            "choose one",
        )
    if problem.count < max(1, len(problem.kept)):
        raise InfeasibleError(
            "assortment",
            f"at most {problem.count} sizes are allowed but {len(problem.kept)} must be kept",
            "the whole assortment",
            "allow more sizes (at least one) or keep fewer",
        )
