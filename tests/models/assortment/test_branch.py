"""The proof: what is fixed and what is claimed at any moment must be true."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations, count

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.assortment import Limits, branch, solve
from models.assortment.bound import first_dual
from models.assortment.branch import Node, Progress, begin, explore
from models.assortment.instance import Indices, Instance, capped_sums, make_ready
from models.assortment.solve import choose_assortment
from models.errors import InfeasibleError
from tests.models.assortment.instances import network, random_problem, served_only, shop
from tests.models.assortment.referee import least_total
from tests.sampling import tries


def all_totals(instance: Instance) -> dict[tuple[int, ...], float]:
    """Every allowed set of rows and its total; a set that leaves a class unserved is dearer than the cap."""
    free = np.setdiff1d(np.arange(len(instance.fixed)), instance.kept).tolist()
    sets = [
        tuple(sorted([*instance.kept.tolist(), *more]))
        for size in range(instance.count - len(instance.kept) + 1)
        for more in combinations(free, size)
    ]
    return {rows: instance.total(np.array(rows, dtype=np.int64)) for rows in sets if rows}


@given(st.integers(0, 100_000), st.floats(0.5, 3.0), st.floats(1.0, 1.5))
@settings(derandomize=True, deadline=None, max_examples=tries(150))
def test_no_better_assortment_is_lost_by_fixing_rows(seed: int, price: float, slack: float) -> None:
    """At any prices: an assortment under the goal uses only rows that stay, and all that are held for certain."""
    instance, _ = make_ready(random_problem(seed))
    totals = all_totals(instance)
    if len(instance.classes) == 0 or min(totals.values(), default=np.inf) >= instance.cap:
        return
    goal = min(totals.values()) * slack
    prices = instance.least * price * np.random.default_rng(seed).uniform(0.8, 1.6, len(instance.least))
    dual = first_dual(instance, prices, -np.inf)
    dual.worth = instance.fixed + capped_sums(instance.by_size, prices) - prices.sum()
    stays, surely = branch._fixed(instance, dual, goal)
    for rows, total in totals.items():
        if total < goal * (1 - 1e-9):
            assert stays[list(rows)].all()
            assert set(surely.tolist()) <= set(rows)


@pytest.fixture
def rough(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing tried out in bulk, rough bounds, nothing narrowed, nothing improved: only halving is left."""
    monkeypatch.setattr(branch, "_FEW", 1)
    monkeypatch.setattr(branch, "_MUCH_NARROWED", 0.0)
    monkeypatch.setattr(branch, "_ROUNDS", 4)
    monkeypatch.setattr(branch, "_ROOT_CLIMBS", 1)
    monkeypatch.setattr(branch, "improve", lambda instance, rows, is_over: rows)
    monkeypatch.setattr(solve, "improve", lambda instance, rows, is_over: rows)


def offers_nothing(progress: Progress, instance: Instance, is_over: Callable[[], bool]) -> Callable[[Indices], None]:
    return lambda rows: None


@pytest.mark.usefixtures("rough")
@pytest.mark.parametrize("is_offering", [True, False])
def test_branching_alone_equals_the_outside_solver(monkeypatch: pytest.MonkeyPatch, is_offering: bool) -> None:
    """Outside solver: HiGHS by scipy.optimize.milp."""
    if not is_offering:
        monkeypatch.setattr(branch, "_offering", offers_nothing)
    for seed in range(500, 560):
        problem = random_problem(seed)
        expected = least_total(served_only(problem))
        if expected is None:
            with pytest.raises(InfeasibleError):
                choose_assortment(problem)
        else:
            assert choose_assortment(problem).total_cents == pytest.approx(expected, rel=1e-7, abs=1e-6), seed


@pytest.mark.usefixtures("rough")
@pytest.mark.parametrize("is_offering", [True, False])
def test_the_bound_is_true_whenever_it_is_asked_for(monkeypatch: pytest.MonkeyPatch, is_offering: bool) -> None:
    problem = shop(9, 20, 80, 60, 7)
    optimum = least_total(problem)
    assert optimum is not None
    instance, _ = make_ready(problem)
    bad = np.append(np.arange(3), len(instance.fixed) - 1)
    progress = begin(instance, bad, 0.0)
    assert progress.total > optimum
    if not is_offering:
        monkeypatch.setattr(branch, "_offering", offers_nothing)
    claims: list[float] = []

    def listen() -> bool:
        claims.append(progress.bound())
        return False

    explore(progress, listen)
    assert progress.total == progress.bound() == optimum
    assert progress.running is None  # a settled part's bound must not speak for the parts that are left
    assert progress.nodes > 20
    assert max(claims) <= optimum


def test_the_bound_is_the_least_of_the_open_parts() -> None:
    """Only the first part is being worked on, so only its bound may be raised by what runs."""
    instance, _ = make_ready(shop(7, 12, 60, 40, 4))
    none = np.empty(0, dtype=np.int64)
    progress = begin(instance, np.array([0, len(instance.fixed) - 1]), 0.0)
    progress.parts = [Node(bound, none, none, none.astype(float)) for bound in (1e6, 2e6, 5e6)]
    assert progress.bound() == 1e6
    progress.running = first_dual(instance, instance.least, 4e6)
    assert progress.running.proven > 2e6
    assert progress.bound() == 2e6
    progress.parts = []
    assert progress.bound() == progress.total


def proven_within(vertices: int, readings: int) -> bool:
    """Whether a third of a network's vertices is chosen with proof within so many readings of the clock."""
    clock = count()
    limits = Limits(0.0, readings, lambda: float(next(clock)))
    return choose_assortment(network(vertices, vertices // 3), limits).is_proven


def test_relaxed_sets_are_improved_although_they_do_not_beat_the_best(monkeypatch: pytest.MonkeyPatch) -> None:
    """A network whose best is far from what greedy choice and interchanges end in, but near to relaxed sets."""
    assert proven_within(200, 1_500)
    monkeypatch.setattr(Progress, "takes_up", lambda progress, total: total < progress.total)
    assert not proven_within(200, 1_500)


def test_sets_improved_in_vain_make_the_next_wait_longer() -> None:
    instance, _ = make_ready(random_problem(1))
    progress = begin(instance, np.arange(len(instance.fixed))[: instance.count], 0.0)
    taken = [at for at in range(1, 400) if progress.takes_up(progress.total + 1)]
    waits = np.diff([0, *taken])
    assert waits[0] == branch._IMPROVED_OF
    assert (np.diff(waits) > 0).all() and len(waits) >= 4
    progress.offer(progress.rows, progress.total - 1)
    assert progress.interval == branch._IMPROVED_OF
    assert progress.takes_up(progress.total - 1)
