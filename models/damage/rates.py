"""Damage rates per cell as they were seen, with intervals; and the beta distribution behind several cells.

Interval of one cell: Jeffreys (L. D. Brown, T. T. Cai, A. DasGupta, "Interval estimation for a binomial proportion",
Statistical Science 16 (2001), 101-133), with their rule for the ends: no claim makes the lower limit zero, a claim on
every parcel makes the upper limit one. Exposure may be any real number. What a cell's rate is thought to be, with all
that its like tell, is the pooled model's to say (models/damage/pooled.py).
"""

import numpy as np
from scipy.optimize import minimize
from scipy.special import betaln
from scipy.stats import beta as beta_distribution

from models.damage.arrays import BoolArray, FloatArray, at_least_the_claims

LEAST_SEEN = 5.0
# Prior weights in parcels. The bounds keep a shop without spread, or without claims, from infinities.
LEAST_WEIGHT, MOST_WEIGHT = 1.0, 1e6


def _beta_interval(alpha: FloatArray, beta: FloatArray, level: float) -> tuple[FloatArray, FloatArray]:
    tail = (1.0 - level) / 2.0
    return beta_distribution.ppf(tail, alpha, beta), beta_distribution.ppf(1.0 - tail, alpha, beta)


def raw_rates(claims: FloatArray, exposure: FloatArray) -> FloatArray:
    """Claims per parcel at risk. A cell without exposure has rate zero and, in its interval, says nothing."""
    at_risk = at_least_the_claims(claims, exposure)
    return np.divide(claims, at_risk, out=np.zeros_like(at_risk), where=at_risk > 0)


def jeffreys_interval(claims: FloatArray, exposure: FloatArray, level: float = 0.95) -> tuple[FloatArray, FloatArray]:
    """Lower and upper limits, shape (cells,). Zero-event rule: no claim gives lower limit 0, all claims upper limit 1;
    no exposure gives 0 to 1."""
    at_risk = at_least_the_claims(claims, exposure)
    low, high = _beta_interval(claims + 0.5, at_risk - claims + 0.5, level)
    return np.where(claims <= 0, 0.0, low), np.where(claims >= at_risk, 1.0, high)


def fit_beta_binomial(claims: FloatArray, exposure: FloatArray, *, penalised: bool = True) -> tuple[float, float]:
    """Beta parameters (alpha, beta) of the rates behind several cells, by marginal likelihood.

    `penalised` adds the usual flat prior on (alpha + beta)^(-1/2), which keeps the fit finite where cells show no
    spread beyond chance (A. Gelman et al., Bayesian Data Analysis, section 5.3). Where cells cannot tell anything
    (fewer than two with exposure, no claim at all, a claim on every parcel) the result is Jeffreys' (1/2, 1/2).
    """
    at_risk = at_least_the_claims(claims, exposure)
    total, broken = at_risk.sum(), claims.sum()
    if np.count_nonzero(at_risk) < 2 or broken <= 0 or broken >= total:
        return 0.5, 0.5

    def loss(point: FloatArray) -> float:
        rate, weight = 1.0 / (1.0 + np.exp(-point[0])), np.exp(point[1])
        likelihood = _marginal(claims, at_risk, rate * weight, (1.0 - rate) * weight).sum()
        return float(0.5 * point[1] * penalised - likelihood)

    logit = np.log(broken / (total - broken))
    start = np.array([logit, np.log(20.0 * total / broken)])
    bounds = [(logit - 5.0, logit + 5.0), (np.log(LEAST_WEIGHT), np.log(MOST_WEIGHT))]
    logit, log_weight = minimize(loss, start, bounds=bounds, method="L-BFGS-B", options={"ftol": 1e-13}).x
    rate = 1.0 / (1.0 + np.exp(-logit))
    return float(rate * np.exp(log_weight)), float((1.0 - rate) * np.exp(log_weight))


def _marginal(claims: FloatArray, at_risk: FloatArray, alpha: FloatArray, beta: FloatArray) -> FloatArray:
    """Log likelihood of each cell, but for the binomial coefficient."""
    return np.asarray(betaln(claims + alpha, at_risk - claims + beta) - betaln(alpha, beta))


def too_few(claims: FloatArray, exposure: FloatArray, item_type_rate: FloatArray) -> BoolArray:
    """Whether a cell has too few parcels to tell: fewer than LEAST_SEEN claims seen, and fewer expected at its item
    type's rate. Shape (cells,)."""
    return np.asarray((claims < LEAST_SEEN) & (exposure * item_type_rate < LEAST_SEEN), dtype=bool)
