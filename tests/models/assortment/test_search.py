"""The quick search and the smallest cover, each against every subset of a small problem."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np
import pytest

from models.assortment.cover import least_cover
from models.assortment.instance import Indices, Instance, make_ready
from models.assortment.search import choose_greedily, improve, trimmed
from models.errors import InfeasibleError
from tests.models.assortment.instances import random_problem

INSTANCES = [make_ready(random_problem(seed))[0] for seed in range(60)]
SERVED = [each for each in INSTANCES if each.by_size.size]


def literal_total(instance: Instance, rows: tuple[int, ...]) -> float:
    """Cents class by class; what no row fits costs the cap."""
    costs = (min((float(instance.by_size[row, at]) for row in rows), default=np.inf) for at in range(classes(instance)))
    return sum(min(cost, instance.cap) for cost in costs) + float(sum(instance.fixed[row] for row in rows))


def classes(instance: Instance) -> int:
    return int(instance.by_size.shape[1])


def subsets(instance: Instance, most: int) -> Iterator[tuple[int, ...]]:
    """Every set of at most so many rows that holds the kept ones, small ones first."""
    every = range(len(instance.fixed))
    for size in range(most + 1):
        yield from (rows for rows in combinations(every, size) if set(instance.kept.tolist()) <= set(rows))


def serves_all(instance: Instance, rows: tuple[int, ...]) -> bool:
    return all(any(np.isfinite(instance.by_size[row, at]) for row in rows) for at in range(classes(instance)))


def neighbours(instance: Instance, chosen: Indices) -> Iterator[tuple[int, ...]]:
    """One row more, one less, or one for another; kept rows stay."""
    here = set(chosen.tolist())
    others = set(range(len(instance.fixed))) - here
    goers = here - set(instance.kept.tolist())
    yield from (tuple(here - {row}) for row in goers)
    yield from (tuple(here - {row} | {other}) for row in goers for other in others)
    if len(here) < instance.count:
        yield from (tuple(here | {other}) for other in others)


@pytest.mark.parametrize("instance", SERVED)
def test_the_cover_is_the_smallest_of_all_subsets(instance: Instance) -> None:
    least = next(rows for rows in subsets(instance, len(instance.fixed)) if serves_all(instance, rows))
    if len(least) > instance.count:
        with pytest.raises(InfeasibleError, match=f"at least {len(least)} are needed"):
            least_cover(instance)
    else:
        found = tuple(least_cover(instance).tolist())
        assert len(found) == len(least) and serves_all(instance, found) and set(instance.kept) <= set(found)


@pytest.mark.parametrize("instance", SERVED)
def test_no_single_step_improves_what_is_improved(instance: Instance) -> None:
    greedy = choose_greedily(instance)
    better = improve(instance, greedy)
    total = literal_total(instance, tuple(better.tolist()))
    assert instance.total(better) == pytest.approx(total)
    assert total <= literal_total(instance, tuple(greedy.tolist())) * (1 + 1e-9)
    assert len(better) <= instance.count and set(instance.kept) <= set(better.tolist())
    assert all(literal_total(instance, rows) >= total * (1 - 1e-6) for rows in neighbours(instance, better) if rows)
    best = min(literal_total(instance, rows) for rows in subsets(instance, instance.count))
    assert total >= best * (1 - 1e-9)


def test_the_quick_search_finds_most_optima_of_small_problems() -> None:
    found = [instance.total(improve(instance, choose_greedily(instance))) for instance in SERVED]
    best = [min(literal_total(each, rows) for rows in subsets(each, each.count)) for each in SERVED]
    assert np.isclose(found, best, rtol=1e-9).mean() > 0.9


@pytest.mark.parametrize("instance", SERVED)
def test_trimming_serves_everyone_as_before_for_no_more(instance: Instance) -> None:
    every = np.arange(len(instance.fixed))
    kept = trimmed(instance, every)
    before, after = (instance.by_size[rows].min(axis=0) for rows in (every, kept))
    np.testing.assert_array_equal(before, after)
    assert set(instance.kept) <= set(kept.tolist())
    idle = set(kept.tolist()) - set(instance.kept) - set(instance.by_size[kept].argmin(axis=0).tolist())
    assert len(idle) == 0 or len(kept) <= len(every)


def test_a_search_out_of_time_leaves_what_it_was_given() -> None:
    start = choose_greedily(SERVED[3])
    assert improve(SERVED[3], start[:1], is_over=lambda: True).tolist() == start[:1].tolist()
