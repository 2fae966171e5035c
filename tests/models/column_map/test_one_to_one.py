"""The pairing of greatest worth, held to scipy's solver (linear_sum_assignment) as the referee."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from models.column_map.one_to_one import best_pairs

WORTH = st.sampled_from([0.0, 0.16, 0.25, 0.36, 0.5, 0.64, 1.0]) | st.floats(0, 1)


@st.composite
def grids(draw: st.DrawFn) -> list[list[float]]:
    rows, columns = draw(st.integers(1, 9)), draw(st.integers(1, 9))
    return [[draw(WORTH) for _ in range(columns)] for _ in range(rows)]


@given(grids())
def test_no_pairing_is_worth_more(grid: list[list[float]]) -> None:
    found = best_pairs(grid)
    rows, columns = linear_sum_assignment(np.array(grid), maximize=True)
    assert sum(grid[row][at] for row, at in found) == pytest.approx(float(np.array(grid)[rows, columns].sum()))
    assert len({row for row, _ in found}) == len({at for _, at in found}) == len(found)
    assert all(grid[row][at] > 0 for row, at in found)


@pytest.mark.parametrize("seed", range(5))
def test_a_record_of_many_columns_and_a_file_of_more(seed: int) -> None:
    grid = np.random.default_rng(seed).random((25, 60)) ** 4
    found = best_pairs(grid.tolist())
    rows, columns = linear_sum_assignment(grid, maximize=True)
    assert found == list(zip(rows.tolist(), columns.tolist(), strict=True))


@pytest.mark.parametrize("grid", [[], [[]], [[0.0, 0.0]], [[0.0], [0.0]]])
def test_nothing_worth_a_pair_is_paired(grid: list[list[float]]) -> None:
    assert best_pairs(grid) == []
