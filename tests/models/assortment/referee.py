"""An outside solver for the same problem: the strong mixed-integer model, by HiGHS through scipy.optimize.milp."""

from __future__ import annotations

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array, hstack, identity, kron

from models.assortment import AssortmentProblem


def least_total(problem: AssortmentProblem) -> float | None:
    """The optimum in cents, None where no assortment serves all classes. Variables: x_ij by class, then y_j."""
    costs, fixed = problem.costs_cents, problem.fixed_cents
    classes, sizes = costs.shape
    highest = np.concatenate([np.isfinite(costs).ravel().astype(float), np.ones(sizes)])
    highest[classes * sizes + np.array(problem.dropped, dtype=int)] = 0.0
    lowest = np.zeros(len(highest))
    lowest[classes * sizes + np.array(problem.kept, dtype=int)] = 1.0
    once = hstack([kron(identity(classes), np.ones((1, sizes))), csr_array((classes, sizes))])
    stocked = hstack([identity(classes * sizes), kron(np.ones((classes, 1)), -identity(sizes))])
    counted = np.concatenate([np.zeros(classes * sizes), np.ones(sizes)])
    answer = milp(
        np.concatenate([np.where(np.isfinite(costs), costs, 0.0).ravel(), fixed]),
        integrality=np.ones(len(highest)),
        bounds=Bounds(lowest, highest),
        constraints=[
            LinearConstraint(csr_array(once), 1.0, 1.0),
            LinearConstraint(csr_array(stocked), -np.inf, 0.0),
            LinearConstraint(counted, 0.0, problem.count),
        ],
        options={"mip_rel_gap": 0.0},
    )
    return None if answer.x is None else float(answer.fun)
