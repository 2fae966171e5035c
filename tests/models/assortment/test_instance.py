"""Sizes that another one beats everywhere are left out, and no answer is worse for it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from models.assortment import AssortmentProblem
from models.assortment.instance import make_ready
from tests.models.assortment.instances import random_problem, served_only
from tests.models.assortment.referee import least_total

INF = np.inf


def left(costs: list[list[float]], fixed: list[float], kept: tuple[int, ...] = ()) -> list[int]:
    """The candidates that stay; costs are given size by size."""
    problem = AssortmentProblem(np.array(costs).T, np.array(fixed), len(fixed), kept)
    return [int(candidate) for candidate in make_ready(problem)[0].original]


def test_a_size_beaten_on_every_class_is_left_out() -> None:
    assert left([[5, 7, INF], [5, 6, INF], [9, 9, 9]], [1, 1, 1]) == [1, 2]


@pytest.mark.parametrize("costs", [[[5, 7], [6, 6]], [[5, INF], [6, 7]]])
def test_one_that_is_cheaper_for_a_class_or_fits_another_one_stays(costs: list[list[float]]) -> None:
    assert left(costs, [1, 1]) == [0, 1]


def test_one_that_costs_less_to_stock_stays() -> None:
    assert left([[5, 7], [5, 6]], [1, 2]) == [0, 1]


def test_a_kept_one_stays_and_of_equals_the_first() -> None:
    assert left([[5, 5], [4, 4], [5, 5], [4, 4]], [1, 1, 1, 1], kept=(2,)) == [1, 2]


def test_the_best_of_all_assortments_is_as_good_without_them() -> None:
    """HiGHS on random problems, three of whose sizes have a twin that is dearer for every other class."""
    left_out = 0
    for seed in range(12):
        plain = served_only(random_problem(seed))
        dearer = np.arange(len(plain.costs_cents))[:, None] % 2
        costs = np.hstack([plain.costs_cents, plain.costs_cents[:, :3] + dearer])
        fixed = np.append(plain.fixed_cents, plain.fixed_cents[:3])
        problem = replace(plain, costs_cents=costs, fixed_cents=fixed)
        instance, _ = make_ready(problem)
        left_out += len(fixed) - len(plain.dropped) - len(instance.fixed)
        kept = tuple(instance.kept.tolist())
        without = AssortmentProblem(instance.by_size.T, instance.fixed, instance.count, kept)
        expected = least_total(problem)
        assert least_total(without) == (None if expected is None else pytest.approx(expected))
    assert left_out > 20
