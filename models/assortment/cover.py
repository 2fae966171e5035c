"""The fewest sizes that serve every class, for when a quick search finds no assortment that does."""

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from models.assortment.instance import Indices, Instance
from models.errors import InfeasibleError


def least_cover(instance: Instance) -> Indices:
    """Rows of a smallest set, kept ones included, that fits every class (a set cover, solved by HiGHS).

    Raises InfeasibleError when that takes more sizes than the problem allows.
    """
    fits = np.unique(np.isfinite(instance.by_size).T, axis=0)
    lowest = np.zeros(len(instance.fixed))
    lowest[instance.kept] = 1.0
    answer = milp(
        np.ones(len(lowest)),
        integrality=np.ones(len(lowest)),
        bounds=Bounds(lowest, 1.0),
        constraints=LinearConstraint(csr_array(fits.astype(float)), lb=1.0),
    )
    rows = np.flatnonzero(np.round(answer.x) > 0).astype(np.int64)
    if len(rows) > instance.count:
        raise InfeasibleError(
            "assortment",
            f"{instance.count} sizes cannot hold all goods; at least {len(rows)} are needed",
            "parcels that no chosen size would fit",
            "allow more sizes, drop fewer, or leave out the largest goods",
        )
    return rows
