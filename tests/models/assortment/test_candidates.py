"""Candidate sizes: complete for the demand, none that another beats everywhere."""

from __future__ import annotations

from itertools import combinations_with_replacement

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.assortment import AssortmentProblem, candidate_sizes, closed_joins
from models.assortment.solve import choose_assortment
from models.shop_units import Units
from tests.models.assortment.instances import postage_cents
from tests.sampling import tries

sides = st.lists(st.tuples(*[st.integers(1, 9)] * 3), min_size=1, max_size=12)


def rows(sizes: np.ndarray) -> set[tuple[float, ...]]:
    return {tuple(row) for row in sizes.tolist()}


def test_joins_of_three_sizes_by_hand() -> None:
    needed = np.array([[48.0, 6.0, 6.0], [20.0, 16.0, 4.0], [10.2, 10.0, 9.0]])
    assert rows(closed_joins(needed)) == {
        (48, 6, 6), (20, 16, 4), (11, 10, 9),
        (48, 16, 6), (48, 10, 9), (20, 16, 9), (48, 16, 9),
    }  # fmt: skip


def test_half_inch_steps_and_a_side_already_on_a_step() -> None:
    assert rows(closed_joins(np.array([[10.2, 10.5, 9.0000000001]]), 0.5)) == {(10.5, 10.5, 9.0)}


def test_no_demand_needs_no_size() -> None:
    assert closed_joins(np.empty((0, 3))).shape == (0, 3)


@given(sides)
@settings(derandomize=True, deadline=None, max_examples=tries(80))
def test_joins_are_all_maxima_of_up_to_three_needed_sizes(needed: list[tuple[int, int, int]]) -> None:
    by_hand = {tuple(np.max(three, axis=0).tolist()) for three in combinations_with_replacement(needed, 3)}
    assert rows(closed_joins(np.array(needed, dtype=float))) == by_hand


@given(sides)
@settings(derandomize=True, deadline=None, max_examples=tries(60))
def test_joins_are_closed_and_do_not_depend_on_order(needed: list[tuple[int, int, int]]) -> None:
    joins = closed_joins(np.array(needed, dtype=float))
    assert rows(closed_joins(joins)) == rows(joins)
    assert rows(closed_joins(np.array(needed[::-1], dtype=float))) == rows(joins)


def problem_over(sizes: np.ndarray, needed: np.ndarray, pounds: np.ndarray, count: int) -> AssortmentProblem:
    zone = np.full(len(needed), 4.0)
    cents = np.stack([postage_cents(np.broadcast_to(size, needed.shape), pounds, zone) for size in sizes], axis=1)
    fits = (needed[:, None, :] <= sizes[None]).all(axis=2)
    return AssortmentProblem(np.where(fits, cents, np.inf), np.zeros(len(sizes)), count)


@pytest.mark.parametrize("seed", range(6))
def test_no_whole_inch_size_beats_the_joins(seed: int) -> None:
    """Against every whole-inch size of the grid."""
    rng = np.random.default_rng(seed)
    needed = -np.sort(-rng.integers(4, 13, (14, 3)).astype(float), axis=1)
    pounds = rng.uniform(1, 12, 14)
    grid = np.array([(a, b, c) for a in range(4, 13) for b in range(4, a + 1) for c in range(4, b + 1)], dtype=float)
    by_joins = choose_assortment(problem_over(closed_joins(needed), needed, pounds, 3))
    by_grid = choose_assortment(problem_over(grid, needed, pounds, 3))
    assert by_joins.is_proven
    assert by_grid.is_proven
    assert by_joins.total_cents == by_grid.total_cents


def test_stocked_sizes_come_first_and_are_not_repeated() -> None:
    needed = np.array([[12.0, 8.0, 4.0], [10.0, 9.0, 4.0]])
    found = candidate_sizes(needed, Units("USD"), stocked_in=np.array([[12.0, 9.0, 4.0], [14.25, 9.0, 6.0]]))
    assert found.sizes_in[:2].tolist() == [[12.0, 9.0, 4.0], [14.25, 9.0, 6.0]]
    assert (found.stocked, len(found.sizes_in), found.joins, found.is_complete) == (2, 4, 3, True)
    assert found.statement == "all 3 sizes that the demand can need in steps of 1 in"


def test_a_limit_widens_the_step_and_says_so() -> None:
    needed = np.random.default_rng(3).uniform(5, 40, (200, 3))
    found = candidate_sizes(needed, Units("USD"), limit=500)
    assert len(found.sizes_in) <= 500
    assert not found.is_complete
    assert found.joins == len(closed_joins(needed)) > 500
    assert f"in steps of {found.step_in:g} in; the demand can need {found.joins:,} in steps of 1 in" in found.statement
    assert np.any(np.all(needed[:, None, :] <= found.sizes_in[None], axis=2), axis=1).all()


def test_senseless_limits_are_refused() -> None:
    with pytest.raises(ValueError, match="limit must be"):
        candidate_sizes(np.ones((1, 3)), Units("USD"), limit=0)
    with pytest.raises(ValueError, match="too many for one grid"):
        closed_joins(np.random.default_rng(1).uniform(1, 90, (2000, 3)), 0.001)
