"""The chosen assortment against an outside solver, by given problems, and by what must hold for any problem."""

from __future__ import annotations

from dataclasses import replace
from itertools import count

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.assortment import Assortment, AssortmentProblem, Limits
from models.assortment.solve import choose_assortment
from models.errors import InfeasibleError
from tests.models.assortment.instances import random_problem, served_only, shop
from tests.models.assortment.referee import least_total
from tests.sampling import tries

X = np.inf


def assert_consistent(problem: AssortmentProblem, answer: Assortment) -> None:
    costs = problem.costs_cents
    served = np.setdiff1d(np.arange(len(costs)), answer.unserved)
    paid = costs[served, answer.assignment[served]]
    assert np.isfinite(paid).all()
    assert (paid == costs[np.ix_(served, np.array(answer.sizes, dtype=int))].min(axis=1, initial=X)).all()
    assert paid.sum() + problem.fixed_cents[list(answer.sizes)].sum() == pytest.approx(answer.total_cents, rel=1e-12)
    assert (answer.assignment[list(answer.unserved)] == -1).all()
    assert set(answer.assignment[served].tolist()) <= set(answer.sizes)
    assert set(problem.kept) <= set(answer.sizes)
    assert not set(problem.dropped) & set(answer.sizes)
    assert len(answer.sizes) <= problem.count
    assert answer.bound_cents <= answer.total_cents


@pytest.mark.parametrize("batch", range(10))
def test_equals_the_outside_solver_on_small_problems(batch: int) -> None:
    """Outside solver: HiGHS by scipy.optimize.milp; 10 x 25 problems, of which at least 200 have an answer."""
    answered = 0
    for seed in range(batch * 25, batch * 25 + 25):
        problem = random_problem(seed)
        expected = least_total(served_only(problem))
        if expected is None:
            with pytest.raises(InfeasibleError, match="cannot hold all goods"):
                choose_assortment(problem)
            continue
        answer = choose_assortment(problem)
        assert_consistent(problem, answer)
        assert answer.is_proven
        assert answer.total_cents == pytest.approx(expected, rel=1e-7, abs=1e-6), seed
        answered += 1
    assert answered >= 20


def test_equals_the_outside_solver_on_a_shop() -> None:
    """Outside solver: HiGHS by scipy.optimize.milp; made-up goods and tariff, 60 classes and 40 sizes."""
    problem = shop(7, 12, 60, 40, 4)
    answer = choose_assortment(problem)
    assert answer.is_proven
    assert answer.total_cents == least_total(problem)
    assert_consistent(problem, answer)


def test_fixed_costs_decide_how_many_sizes_are_stocked() -> None:
    costs = np.array([[100.0, 180.0], [180.0, 100.0]])
    assert choose_assortment(AssortmentProblem(costs, np.array([70.0, 70.0]), 2)).sizes == (0, 1)
    dear = choose_assortment(AssortmentProblem(costs, np.array([90.0, 95.0]), 2))
    assert (dear.sizes, dear.total_cents, dear.bound_cents) == ((0,), 370.0, 370.0)


def test_a_kept_size_counts_and_is_paid_even_when_it_serves_nobody() -> None:
    costs = np.array([[100.0, 500.0, 40.0], [100.0, 500.0, 160.0]])
    answer = choose_assortment(AssortmentProblem(costs, np.array([5.0, 7.0, 5.0]), 2, kept=(1,)))
    assert (answer.sizes, answer.total_cents) == ((0, 1), 212.0)
    assert answer.assignment.tolist() == [0, 0]


def test_classes_that_nothing_fits_are_named_and_left_out() -> None:
    costs = np.array([[X, X], [3.0, X], [X, 4.0]])
    answer = choose_assortment(AssortmentProblem(costs, np.zeros(2), 2))
    assert answer.unserved == (0,)
    assert answer.assignment.tolist() == [-1, 0, 1]
    assert answer.total_cents == 7.0
    with_drop = choose_assortment(AssortmentProblem(costs, np.zeros(2), 2, dropped=(1,)))
    assert (with_drop.unserved, with_drop.total_cents) == ((0, 2), 3.0)


def test_nothing_to_serve_leaves_only_what_must_be_kept() -> None:
    answer = choose_assortment(AssortmentProblem(np.full((2, 2), X), np.array([4.0, 6.0]), 1, kept=(1,)))
    assert (answer.sizes, answer.total_cents, answer.unserved, answer.is_proven) == ((1,), 6.0, (0, 1), True)
    empty = choose_assortment(AssortmentProblem(np.empty((0, 3)), np.zeros(3), 1))
    assert (empty.sizes, empty.total_cents) == ((), 0.0)


def test_too_few_sizes_say_how_many_are_needed() -> None:
    costs = np.where(np.eye(4, dtype=bool), 10.0, X)
    with pytest.raises(InfeasibleError, match="3 sizes cannot hold all goods; at least 4 are needed"):
        choose_assortment(AssortmentProblem(costs, np.zeros(4), 3))


def test_a_cover_is_found_where_greedy_choice_misses_it() -> None:
    """Size 0 holds most classes at the least cost, but only sizes 1 and 2 together hold all six."""
    costs = np.array([[1.0, 9, X], [1, 9, X], [1, X, 9], [1, X, 9], [X, 9, X], [X, X, 9]])
    answer = choose_assortment(AssortmentProblem(costs, np.zeros(3), 2))
    assert (answer.sizes, answer.total_cents) == ((1, 2), 54.0)


def test_contradictions_are_refused_in_words() -> None:
    costs, fixed = np.ones((2, 3)), np.zeros(3)
    with pytest.raises(InfeasibleError, match=r"\[1\] must be both kept and dropped"):
        AssortmentProblem(costs, fixed, 2, kept=(1,), dropped=(1,))
    with pytest.raises(InfeasibleError, match="at most 1 sizes are allowed but 2 must be kept"):
        AssortmentProblem(costs, fixed, 1, kept=(0, 1))
    with pytest.raises(InfeasibleError):
        AssortmentProblem(costs, fixed, 0)


@pytest.mark.parametrize(
    ("costs", "fixed", "kept"),
    [
        (np.ones(3), np.zeros(3), ()),
        (np.ones((2, 3)), np.zeros(2), ()),
        (np.array([[np.nan]]), np.zeros(1), ()),
        (np.array([[-X]]), np.zeros(1), ()),
        (np.ones((1, 1)), np.array([-1.0]), ()),
        (np.ones((1, 1)), np.array([X]), ()),
        (np.ones((1, 1)), np.zeros(1), (1,)),
    ],
)
def test_figures_that_make_no_sense_are_refused(costs: np.ndarray, fixed: np.ndarray, kept: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        AssortmentProblem(costs, fixed, 1, kept)


def test_a_gap_setting_stops_early_within_the_gap() -> None:
    problem = shop(11, 30, 600, 300, 5)
    exact, rough = choose_assortment(problem), choose_assortment(problem, Limits(gap=0.05))
    assert exact.is_proven
    assert rough.gap <= 0.05
    assert rough.bound_cents <= exact.total_cents <= rough.total_cents


@pytest.mark.parametrize("ticks", [0, 1, 5, 20, 60, 150, 400])
def test_out_of_time_the_best_so_far_comes_with_a_true_bound(ticks: int) -> None:
    """The clock is a counter: one second a question."""
    problem = shop(11, 30, 600, 300, 5)
    best = choose_assortment(problem).total_cents
    seconds = count()
    answer = choose_assortment(problem, Limits(seconds=ticks, clock=lambda: float(next(seconds))))
    assert_consistent(problem, answer)
    assert answer.bound_cents <= best <= answer.total_cents
    assert answer.seconds >= ticks or answer.is_proven


@pytest.mark.parametrize("ticks", [10, 30, 100, 300])
def test_an_interruption_keeps_the_best_so_far_and_a_true_bound(ticks: int) -> None:
    problem = shop(11, 30, 600, 300, 5)
    best = choose_assortment(problem).total_cents
    seconds = count()

    def clock() -> float:
        if next(seconds) == ticks:
            raise KeyboardInterrupt
        return 0.0

    answer = choose_assortment(problem, Limits(seconds=1.0, clock=clock))
    assert answer.is_interrupted
    assert_consistent(problem, answer)
    assert answer.bound_cents <= best <= answer.total_cents


def test_limits_need_a_clock_and_sensible_figures() -> None:
    with pytest.raises(ValueError, match="needs a clock"):
        Limits(seconds=3.0)
    with pytest.raises(ValueError, match="gap is a fraction"):
        Limits(gap=1.5)


seeds = st.integers(min_value=1000, max_value=100_000)


def solved(problem: AssortmentProblem) -> Assortment | None:
    try:
        return choose_assortment(problem)
    except InfeasibleError:
        return None


@given(seeds)
@settings(derandomize=True, deadline=None, max_examples=tries(60))
def test_more_sizes_never_cost_more(seed: int) -> None:
    problem = random_problem(seed)
    fewer, more = solved(problem), solved(replace(problem, count=problem.count + 1))
    if fewer is not None:
        assert more is not None
        assert more.total_cents <= fewer.total_cents * (1 + 1e-9)


@given(seeds)
@settings(derandomize=True, deadline=None, max_examples=tries(60))
def test_an_answer_is_consistent_and_does_not_depend_on_the_order_of_rows(seed: int) -> None:
    problem = random_problem(seed)
    answer = solved(problem)
    turned = solved(replace(problem, costs_cents=problem.costs_cents[::-1]))
    assert (answer is None) == (turned is None)
    if answer is not None and turned is not None:
        assert_consistent(problem, answer)
        assert answer.total_cents == pytest.approx(turned.total_cents, rel=1e-8)


@given(seeds)
@settings(derandomize=True, deadline=None, max_examples=tries(40))
def test_a_start_changes_nothing_but_the_way_there(seed: int) -> None:
    problem = random_problem(seed)
    answer = solved(problem)
    if answer is not None:
        started = choose_assortment(problem, start=tuple(range(len(problem.fixed_cents)))[:2])
        assert started.total_cents == pytest.approx(answer.total_cents, rel=1e-8)
