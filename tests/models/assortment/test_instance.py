"""Sizes beaten everywhere are left out, classes that rank sizes alike are added up, and no answer is worse for it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from models.assortment import AssortmentProblem
from models.assortment.instance import make_ready
from models.assortment.solve import choose_assortment
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


def test_classes_that_rank_all_sizes_alike_are_added_up() -> None:
    """The third class has a tie that the others have not. What the fourth does not fit, no class of its column has."""
    costs = np.array([[3, 5, 9], [30, 31, 99], [3, 3, 9], [3, 5, INF]])
    instance, _ = make_ready(AssortmentProblem(costs, np.array([1.0, 0, 0]), 2, kept=(1, 2)))
    one, two, tied, four = instance.column.tolist()
    assert one == two == four != tied
    assert instance.by_size[:, one].tolist() == [36, 41, INF] and instance.by_size[:, tied].tolist() == [3, 3, 9]


def test_the_best_assortment_is_as_good_with_classes_added_up() -> None:
    """HiGHS on random problems each of whose classes comes three times, once dearer by a tenth, once by a dollar."""
    for seed in range(12):
        plain = served_only(random_problem(seed))
        many = np.vstack([plain.costs_cents, 1.1 * plain.costs_cents, plain.costs_cents + 100])
        problem = replace(plain, costs_cents=many)
        instance, _ = make_ready(problem)
        assert instance.by_size.shape[1] <= len(plain.costs_cents)
        expected = least_total(problem)
        if expected is not None:
            answer = choose_assortment(problem)
            assert answer.total_cents == pytest.approx(expected)
            paid = many[np.arange(len(many)), answer.assignment]
            assert paid.sum() + problem.fixed_cents[list(answer.sizes)].sum() == pytest.approx(expected)
