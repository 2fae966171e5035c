"""Spend against the number of sizes."""

from __future__ import annotations

from dataclasses import replace
from itertools import count

import numpy as np
import pytest

from models.assortment import AssortmentProblem, Limits, choose_assortment, curve, knee, spend_curve
from models.errors import InfeasibleError
from tests.models.assortment.instances import shop


def test_each_point_equals_the_choice_made_alone() -> None:
    problem = shop(5, 20, 300, 150, 6)
    spent = spend_curve(problem)
    assert spent.counts[-1] == 6
    for number, point in zip(spent.counts, spent.assortments, strict=True):
        assert point.is_proven
        assert point.total_cents == choose_assortment(replace(problem, count=number)).total_cents
    totals = [point.total_cents for point in spent.assortments]
    assert totals == sorted(totals, reverse=True)


def test_counts_too_few_for_all_goods_are_left_out() -> None:
    costs = np.array([[1.0, np.inf, 8.0], [np.inf, 1.0, np.inf], [np.inf, 3.0, 2.0]])
    spent = spend_curve(AssortmentProblem(costs, np.zeros(3), 3))
    assert spent.counts == (2, 3)
    assert [point.total_cents for point in spent.assortments] == [5.0, 4.0]
    with pytest.raises(InfeasibleError, match="at least 2 are needed"):
        spend_curve(AssortmentProblem(costs, np.zeros(3), 1))


def test_the_curve_starts_at_the_kept_sizes() -> None:
    problem = AssortmentProblem(np.arange(12.0).reshape(3, 4) + 1, np.zeros(4), 4, kept=(2, 3))
    spent = spend_curve(problem)
    assert spent.counts == (2, 3, 4)
    assert all({2, 3} <= set(point.sizes) for point in spent.assortments)


def test_the_knee_is_the_count_furthest_below_the_straight_line() -> None:
    assert knee((1, 2, 3, 4, 5), (100.0, 60.0, 40.0, 38.0, 37.0)) == 3  # below the line by 0, 24.25, 28.5, 14.75, 0
    assert knee((2, 4, 9), (90.0, 40.0, 20.0)) == 4
    assert knee((1, 2, 3), (30.0, 20.0, 10.0)) is None
    assert knee((1, 2), (30.0, 20.0)) is None


def test_out_of_time_every_point_is_served_and_bounded() -> None:
    problem = shop(11, 30, 600, 300, 6)
    exact = spend_curve(problem)
    seconds = count()
    hasty = spend_curve(problem, Limits(seconds=120, clock=lambda: float(next(seconds))))
    assert hasty.counts == exact.counts
    assert not all(point.is_proven for point in hasty.assortments)
    for quick, best in zip(hasty.assortments, exact.assortments, strict=True):
        assert quick.bound_cents <= best.total_cents <= quick.total_cents
    bounds = [point.bound_cents for point in hasty.assortments]
    assert bounds == sorted(bounds, reverse=True)


def test_a_bound_for_more_sizes_holds_for_fewer() -> None:
    exact = choose_assortment(shop(5, 20, 300, 150, 3))
    points = [
        replace(exact, total_cents=total, bound_cents=bound, is_proven=False)
        for total, bound in ((100.0, 60.0), (80.0, 70.0), (75.0, 65.0))
    ]
    tight = curve._tightened(points)
    assert [point.bound_cents for point in tight] == [70.0, 70.0, 65.0]
    assert [round(point.gap, 4) for point in tight] == [0.3, 0.125, 0.1333]


def test_an_interruption_ends_the_curve() -> None:
    ticks = count()

    def clock() -> float:
        if next(ticks) == 40:
            raise KeyboardInterrupt
        return 0.0

    spent = spend_curve(shop(11, 30, 600, 300, 6), Limits(clock=clock))
    assert spent.assortments[-1].is_interrupted
    assert len(spent.counts) < 6
