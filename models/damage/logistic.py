"""Logistic model of damage on method and stratum: the cross-check of the Mantel-Haenszel odds ratio.

Where one method never had a claim the ordinary fit runs off to infinity; D. Firth's penalised likelihood ("Bias
reduction of maximum likelihood estimates", Biometrika 80 (1993), 27-38) is used instead, and the result says so.
"""

import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
import statsmodels.api as sm
from scipy.stats import norm
from statsmodels.tools.sm_exceptions import PerfectSeparationWarning

from models.damage.arrays import FloatArray
from models.damage.comparison import Ratio, arms

MOST_ROUNDS = 200
SETTLED = 1e-9


@dataclass(frozen=True)
class LogisticCheck:
    """odds_ratio: of the first method to the second, with Wald limits. is_penalised: Firth's fit was needed."""

    odds_ratio: Ratio
    is_penalised: bool


def check_by_logistic(strata: pd.DataFrame) -> LogisticCheck | None:
    """Odds ratio over the strata that have both methods and at least one claim and one whole parcel, else None.

    `strata` has the columns models.damage.comparison.STRATUM. Binomial counts may be real numbers.
    """
    a, n, b, m = arms(strata)
    kept = (n > 0) & (m > 0) & (a + b > 0) & (a + b < n + m)
    if not kept.any():
        return None
    claims, exposure = np.concatenate([a[kept], b[kept]]), np.concatenate([n[kept], m[kept]])
    design = _design(int(kept.sum()))
    whole = exposure - claims
    sides = (claims.reshape(2, -1).sum(axis=1), whole.reshape(2, -1).sum(axis=1))
    is_penalised = bool(min(sides[0].min(), sides[1].min()) <= 0)
    fit = _firth(claims, exposure, design) if is_penalised else _fit(claims, whole, design)
    reach = norm.ppf(0.975) * fit.bse[0]
    with np.errstate(over="ignore"):
        limits = np.exp(fit.params[0] + np.array([0.0, -reach, reach]))
    return LogisticCheck(Ratio(*(float(limit) for limit in limits)), is_penalised)


def _design(strata: int) -> FloatArray:
    """Method in the first column, one column for each stratum after it; rows: first method's strata, then second's."""
    method = np.repeat([1.0, 0.0], strata)
    return np.column_stack([method, np.vstack([np.eye(strata), np.eye(strata)])])


def _fit(claims: FloatArray, whole: FloatArray, design: FloatArray) -> Any:
    model = sm.GLM(np.column_stack([claims, whole]), design, family=sm.families.Binomial())
    # One stratum makes a saturated model: it fits perfectly by design, which the library warns of and divides by.
    with np.errstate(all="ignore"), warnings.catch_warnings():
        warnings.simplefilter("ignore", PerfectSeparationWarning)
        return model.fit(tol=1e-10, maxiter=100)


def _firth(claims: FloatArray, exposure: FloatArray, design: FloatArray) -> Any:
    """Firth's fit as a fixed point: half of each row's leverage is added to both its claims and its whole parcels."""
    leverage = np.full(claims.size, design.shape[1] / claims.size)
    coefficients = np.full(design.shape[1], np.inf)
    for _ in range(MOST_ROUNDS):
        fit = _fit(claims + leverage / 2.0, exposure - claims + leverage / 2.0, design)
        if np.max(np.abs(fit.params - coefficients)) < SETTLED:
            break
        coefficients = fit.params
        leverage = _leverage(fit.params, exposure, design)
    return fit


def _leverage(coefficients: FloatArray, exposure: FloatArray, design: FloatArray) -> FloatArray:
    rate = 1.0 / (1.0 + np.exp(-design @ coefficients))
    weight = exposure * rate * (1.0 - rate)
    weighted = design * weight[:, None]
    return np.asarray(np.einsum("ij,jk,ik->i", weighted, np.linalg.inv(design.T @ weighted), design))
