"""A bound that no assortment can beat: the Lagrangian dual of serving each class once, raised by subgradient steps.

With a price u_i for serving class i, candidate j is worth its fixed cost plus sum_i min(0, c_ij - u_i), and the best
candidates by that figure, as many as are allowed, give a lower bound for any u. See M. L. Fisher, "The Lagrangian
relaxation method for solving integer programming problems", Management Science 27 (1981) 1-18. Each class steps in
proportion to its own price: the classes' costs differ by orders of magnitude, and equal steps leave a gap of percents.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from models.assortment.instance import Floats, Indices, Instance, capped_sums

_MEMORY = 0.6  # part of the last direction that is kept; damps the zigzag of plain subgradients
_PATIENCE = 20  # rounds without a better bound before the step is halved
_SHORTEST_STEP = 1e-3
_LEAST_RISE = 1e-7


@dataclass
class Dual:
    """Prices of the classes (n'), the bound they prove, and what each row is worth at these prices (m').

    floor: a bound known without prices. share: how often each row was chosen in the latest rounds, fading; near one
    half means undecided.
    """

    prices: Floats
    bound: float
    worth: Floats
    share: Floats
    floor: float

    @property
    def proven(self) -> float:
        """The better of the two bounds."""
        return max(self.bound, self.floor)


@dataclass
class Ascent:
    """Where the climb stands: present prices, step, last direction and rounds without a rise."""

    prices: Floats
    step: float
    direction: Floats
    idle: int = 0
    chosen: Indices = field(default_factory=lambda: np.empty(0, dtype=np.int64))


def first_dual(instance: Instance, prices: Floats, floor: float) -> Dual:
    """A dual whose prices prove nothing yet; its floor is at least serving each class at its least cost."""
    plain = float(instance.least.sum() + instance.fixed[instance.kept].sum())
    rows = len(instance.fixed)
    return Dual(prices, -np.inf, np.zeros(rows), np.zeros(rows), max(plain, floor))


def ascend(
    instance: Instance,
    dual: Dual,
    goal: Callable[[], float],
    rounds: int,
    step: float,
    offer: Callable[[Indices], None],
    is_over: Callable[[], bool],
) -> float:
    """Raises dual in place for at most so many rounds, until what it proves passes goal() or time is over; last step.

    step: first step, as a fraction of the length that would close the gap on a straight slope. offer: told the rows
    chosen in a round whenever they change.
    """
    least = instance.least
    climb = Ascent(np.maximum(dual.prices, least), step, np.zeros(len(least)))
    for _ in range(rounds):
        if is_over() or dual.proven > goal():
            break
        bound, unserved = _relax(instance, dual, climb, offer)
        if not unserved.any() or climb.step < _SHORTEST_STEP:
            break
        _move(climb, dual, unserved, goal() - bound, least)
    return climb.step


def pick(instance: Instance, worth: Floats) -> Indices:
    """Kept rows and the best others that are worth having (below zero), up to the count."""
    free = np.delete(np.arange(len(worth)), instance.kept)
    room = instance.count - len(instance.kept)
    if room < len(free):
        free = free[np.argpartition(worth[free], room)[:room]] if room else free[:0]
    return np.sort(np.concatenate([instance.kept, free[worth[free] < 0]]))


def _relax(instance: Instance, dual: Dual, climb: Ascent, offer: Callable[[Indices], None]) -> tuple[float, Floats]:
    """One evaluation: the bound at the present prices and how many times too few each class is served."""
    worth = instance.fixed + capped_sums(instance.by_size, climb.prices) - climb.prices.sum()
    chosen = pick(instance, worth)
    bound = float(climb.prices.sum() + worth[chosen].sum())
    rise = bound - dual.bound
    climb.idle = 0 if rise > _LEAST_RISE * abs(bound) else climb.idle + 1
    if bound > dual.bound:
        dual.prices, dual.bound, dual.worth = climb.prices, bound, worth
    dual.share *= 0.95
    dual.share[chosen] += 0.05
    if not np.array_equal(chosen, climb.chosen):
        climb.chosen = chosen
        offer(chosen)
    return bound, 1.0 - (instance.by_size[chosen] < climb.prices).sum(axis=0)


def _move(climb: Ascent, dual: Dual, unserved: Floats, room: float, least: Floats) -> None:
    """A step along the damped direction, or back to the best prices with half the step after idle rounds."""
    if climb.idle >= _PATIENCE:
        climb.prices, climb.step, climb.idle = dual.prices, climb.step / 2, 0
        climb.direction = np.zeros_like(least)
        return
    scale = np.abs(climb.prices)
    scale = scale + 0.02 * scale.mean() + 1e-12
    climb.direction = unserved * scale + _MEMORY * climb.direction
    length = climb.step * max(room, 0.0) / float((climb.direction**2 / scale).sum())
    # No price below the least cost: raising it up to there is free.
    climb.prices = np.maximum(climb.prices + length * climb.direction, least)
