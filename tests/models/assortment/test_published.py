"""Published problems with published optima.

The files in `published` are the test problems pmed1, pmed5 and cap71 of the OR-Library (J. E. Beasley, "OR-Library:
distributing test problems by electronic mail", Journal of the Operational Research Society 41 (1990) 1069-1072), figure
for figure.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.sparse.csgraph import floyd_warshall

from models.assortment import AssortmentProblem
from models.assortment.solve import choose_assortment

PUBLISHED = Path(__file__).parent / "published"


def figures(name: str) -> NDArray[np.float64]:
    return np.array((PUBLISHED / name).read_text(encoding="ascii").split(), dtype=float)


def median_costs(name: str) -> tuple[NDArray[np.float64], int]:
    """Shortest ways between all vertices, and the number to choose; a repeated edge takes its last cost."""
    (vertices, _, number), edges = figures(name)[:3], figures(name)[3:].reshape(-1, 3)
    ways = np.full((int(vertices), int(vertices)), np.inf)
    for one, other, cost in edges:
        ways[int(one) - 1, int(other) - 1] = ways[int(other) - 1, int(one) - 1] = cost
    return floyd_warshall(ways), int(number)


def location_costs(name: str) -> NDArray[np.float64]:
    """Cost of serving each of 50 customers from each of 16 places."""
    return figures(name)[2 + 2 * 16 :].reshape(50, 1 + 16)[:, 1:]


@pytest.mark.published
@pytest.mark.parametrize(("problem", "number", "optimum"), [(1, 5, 5819.0), (5, 33, 1355.0)])
def test_p_median_problems(problem: int, number: int, optimum: float) -> None:
    """J. E. Beasley, "A note on solving large p-median problems", EJOR 21 (1985) 270-273, Table 2."""
    costs, asked = median_costs(f"pmed{problem}.txt")
    answer = choose_assortment(AssortmentProblem(costs, np.zeros(len(costs)), asked))
    assert (answer.total_cents, answer.bound_cents, len(answer.sizes)) == (optimum, optimum, number)


# The four problems share their costs of serving and differ in what a place costs; the eleventh costs nothing in each.
# Problems: J. E. Beasley, "Lagrangean heuristics for location problems", EJOR 65 (1993) 383-399; optima: OR-Library,
# file uncapopt. The stored lists of optima differ in their last printed digit (.437 and .438), hence 0.01.
def assert_location_optimum(place_cost: float, optimum: float) -> None:
    fixed = np.full(16, place_cost)
    fixed[10] = 0.0
    answer = choose_assortment(AssortmentProblem(location_costs("cap71.txt"), fixed, 16))
    assert answer.is_proven
    assert answer.total_cents == pytest.approx(optimum, abs=0.01)


@pytest.mark.published
@pytest.mark.parametrize(("place_cost", "optimum"), [(7500.0, 932615.750), (25000.0, 1034976.975)])
def test_uncapacitated_location_71_and_74(place_cost: float, optimum: float) -> None:
    assert_location_optimum(place_cost, optimum)


@pytest.mark.from_memory
@pytest.mark.parametrize(("place_cost", "optimum"), [(12500.0, 977799.400), (17500.0, 1010641.450)])
def test_uncapacitated_location_72_and_73(place_cost: float, optimum: float) -> None:
    """The optima are published; what a place costs in these two is recalled."""
    assert_location_optimum(place_cost, optimum)
