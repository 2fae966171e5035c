"""Good assortments fast: greedy choice, then adding, dropping and interchanging sizes until no such step saves."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from models.assortment.instance import Floats, Indices, Instance, capped_products, capped_sums

_LEAST_SAVING = 1e-9  # fraction of the total below which a step is rounding, not saving
_SHORTLIST = 200


@dataclass(frozen=True)
class Step:
    """One change of an assortment: the row that comes in and the row that goes out, -1 for none; its new total."""

    comes: int
    goes: int
    total: float


def choose_greedily(instance: Instance, start: Indices | None = None) -> Indices:
    """Kept rows (or start), then one after another the row that saves most, while it saves and there is room."""
    chosen = instance.kept if start is None else start
    while len(chosen) < instance.count:
        step = _best_addition(instance, chosen)
        if len(chosen) and step.total >= _beatable(instance.total(chosen)):
            break
        chosen = np.append(chosen, step.comes)
    return np.sort(chosen)


def improve(instance: Instance, chosen: Indices, is_over: Callable[[], bool] = bool) -> Indices:
    """The rows after the best additions, drops and interchanges, one at a time, until none saves or time is over.

    Looks among the few rows that would save most as an addition, and among all of them only before it stops.
    """
    while not is_over():
        beatable = _beatable(instance.total(chosen))
        step = _best_step(instance, chosen, _SHORTLIST)
        if step.total >= beatable:
            step = _best_step(instance, chosen, len(instance.fixed))
        if step.total >= beatable:
            break
        chosen = _changed(chosen, step)
    return np.sort(chosen)


def trimmed(instance: Instance, chosen: Indices) -> Indices:
    """Without the rows that serve no class, kept rows aside."""
    costs = instance.by_size[chosen]
    serving = np.unique(costs.argmin(axis=0)) if costs.size else np.empty(0, dtype=np.int64)
    return np.union1d(chosen[serving], instance.kept).astype(np.int64)


def _beatable(total: float) -> float:
    return total - _LEAST_SAVING * abs(total)


def _changed(chosen: Indices, step: Step) -> Indices:
    staying = chosen[chosen != step.goes]
    return staying if step.comes < 0 else np.append(staying, step.comes)


def _totals_with(instance: Instance, chosen: Indices) -> Floats:
    """The total after adding each row, m'; inf for the rows already chosen."""
    caps = np.minimum(instance.by_size[chosen].min(axis=0, initial=instance.cap), instance.cap)
    totals = capped_sums(instance.by_size, caps) + instance.fixed + instance.fixed[chosen].sum()
    totals[chosen] = np.inf
    return np.asarray(totals)


def _best_addition(instance: Instance, chosen: Indices) -> Step:
    totals = _totals_with(instance, chosen)
    best = int(totals.argmin())
    return Step(best, -1, float(totals[best]))


def _best_step(instance: Instance, chosen: Indices, shortlist: int) -> Step:
    """The cheapest neighbour whose new row, if any, is among the shortlist best additions."""
    with_row = _totals_with(instance, chosen)
    comers = np.argpartition(with_row, min(shortlist, len(with_row)) - 1)[:shortlist]
    steps = [*_drops(instance, chosen), *_interchanges(instance, chosen, comers)]
    if len(chosen) < instance.count:
        steps.append(_best_addition(instance, chosen))
    return min(steps, key=lambda step: step.total, default=Step(-1, -1, np.inf))


def _interchanges(instance: Instance, chosen: Indices, comers: Indices) -> list[Step]:
    """The cheapest interchange: a class is capped by its best row, by its second best if the best one goes."""
    first, second, by_holder = _two_best(instance, chosen)
    costs = instance.by_size[comers]
    staying, leaving = capped_products(costs, first, by_holder), capped_products(costs, second, by_holder)
    totals = staying.sum(axis=1, keepdims=True) - staying + leaving
    totals += instance.fixed[comers][:, None] + instance.fixed[chosen].sum() - instance.fixed[chosen]
    totals[:, np.isin(chosen, instance.kept)] = np.inf
    totals[np.isin(comers, chosen)] = np.inf
    comes, goes = np.unravel_index(int(totals.argmin()), totals.shape)
    return [Step(int(comers[comes]), int(chosen[goes]), float(totals[comes, goes]))]


def _drops(instance: Instance, chosen: Indices) -> list[Step]:
    first, second, by_holder = _two_best(instance, chosen)
    totals = first.sum() + instance.fixed[chosen].sum() + (second - first) @ by_holder - instance.fixed[chosen]
    goers = [place for place, row in enumerate(chosen.tolist()) if row not in instance.kept]
    return [Step(-1, int(chosen[place]), float(totals[place])) for place in goers]


def _two_best(instance: Instance, chosen: Indices) -> tuple[Floats, Floats, Floats]:
    """Least and second least cost of each class among the chosen rows, capped; who holds the least (n' x chosen)."""
    costs = np.minimum(instance.by_size[chosen], instance.cap)
    classes = np.arange(costs.shape[1])
    holder = costs.argmin(axis=0)
    by_holder = np.zeros((len(classes), len(chosen)))
    by_holder[classes, holder] = 1.0
    first = costs[holder, classes]
    costs[holder, classes] = instance.cap
    return first, np.asarray(costs.min(axis=0)), by_holder
