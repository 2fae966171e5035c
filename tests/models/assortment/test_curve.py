"""Spend against the number of sizes."""

from __future__ import annotations

from dataclasses import replace
from itertools import count
from typing import Any

import numpy as np
import pytest

from models.assortment import Assortment, AssortmentProblem, Limits, bound, curve, knee, spend_curve
from models.assortment.curve import CURVE_GAP
from models.assortment.instance import make_ready
from models.assortment.solve import Start, choose_assortment, choose_ready
from models.errors import InfeasibleError
from tests.models.assortment.instances import shop
from tests.models.assortment.referee import least_total


def test_each_point_equals_the_choice_made_alone() -> None:
    problem = shop(5, 20, 300, 150, 6)
    spent = spend_curve(problem)
    assert spent.counts[-1] == 6
    for number, point in zip(spent.counts, spent.assortments, strict=True):
        assert point.is_proven
        assert point.total_cents == choose_assortment(replace(problem, count=number)).total_cents
    totals = [point.total_cents for point in spent.assortments]
    assert totals == sorted(totals, reverse=True)


@pytest.mark.parametrize("seed", range(12))
def test_a_loose_point_lies_within_its_gap_of_what_an_outside_solver_finds(seed: int) -> None:
    """Referee: HiGHS through scipy.optimize.milp. The count in the middle is exact, the others within the gap."""
    problem = shop(seed, 8, 40, 25, 5)
    spent = spend_curve(problem, exact=3)
    assert spent.counts[-1] == 5
    for number, point in zip(spent.counts, spent.assortments, strict=True):
        least = least_total(replace(problem, count=number))
        assert least is not None
        assert point.bound_cents <= least * (1 + 1e-9) and least <= point.total_cents * (1 + 1e-9)
        assert point.total_cents - point.bound_cents <= CURVE_GAP * point.total_cents
        if number == 3:
            assert point.is_proven and point.total_cents == pytest.approx(least, rel=1e-9)
    totals = [point.total_cents for point in spent.assortments]
    assert totals == sorted(totals, reverse=True)


@pytest.fixture
def rounds(monkeypatch: pytest.MonkeyPatch) -> list[None]:
    """Grows by one with each round of the relaxation."""
    found: list[None] = []
    relaxed = bound._relax

    def counted(*args: Any) -> Any:
        found.append(None)
        return relaxed(*args)

    monkeypatch.setattr(bound, "_relax", counted)
    return found


def with_stock(problem: AssortmentProblem, held: int) -> AssortmentProblem:
    """The problem with so many sizes on hand: for each a class of its own that is free while it stays."""
    rng = np.random.default_rng(held)
    sizes = problem.costs_cents.shape[1]
    written_off = np.repeat(np.round(rng.uniform(600, 6_000, (held, 1))), sizes, axis=1)
    written_off[np.arange(held), rng.choice(sizes, held, replace=False)] = 0.0
    return replace(problem, costs_cents=np.vstack([problem.costs_cents, written_off]))


def test_a_loose_curve_states_its_gaps_and_takes_fewer_rounds(rounds: list[None]) -> None:
    problem = with_stock(shop(2, 20, 600, 80, 14), 12)
    exact = spend_curve(problem)
    of_exact = len(rounds)
    loose = spend_curve(problem, exact=14)
    assert len(rounds) - of_exact < of_exact / 1.3
    assert loose.assortments[-1].total_cents == exact.assortments[-1].total_cents
    assert not all(point.is_proven for point in loose.assortments)
    assert all(point.is_proven == (point.gap <= 2e-9) for point in loose.assortments)


@pytest.mark.parametrize("seed", range(4))
def test_prices_of_one_count_bound_the_next_at_once(seed: int) -> None:
    """Both are let go after a few readings of the clock, so that only a few rounds have raised the bound."""
    instance, unserved = make_ready(with_stock(shop(seed, 20, 600, 80, 7), 12))
    _, start = choose_ready(instance, unserved, Limits(CURVE_GAP), Start())

    def hasty(known: Start) -> Assortment:
        ticks = count()
        limits = Limits(0.0, 12, lambda: float(next(ticks)))
        return choose_ready(replace(instance, count=8), unserved, limits, known)[0]

    alone, helped = hasty(Start(start.sizes)), hasty(start)
    assert helped.total_cents <= alone.total_cents
    assert helped.gap < alone.gap / 5


def test_the_exact_count_may_take_half_of_the_time_and_no_count_none() -> None:
    def parts(exact: int | None) -> list[float]:
        """Of the whole time, where each count takes all that it may."""
        left, taken = 1.0, []
        for number in range(1, 7):
            taken.append(left * curve._time_share(number, 6, exact))
            left -= taken[-1]
        return taken

    assert parts(None) == pytest.approx([1 / 6] * 6)
    for exact in range(1, 7):
        every = parts(exact)
        assert sum(every) == pytest.approx(1) and min(every) > 0
        assert every[exact - 1] == pytest.approx(max(every))
        assert every[exact - 1] == pytest.approx(sum(every[exact:]) or every[exact - 1])


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
