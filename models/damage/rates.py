"""Damage rates per cell, with intervals, shrunk towards their item type.

Interval of one cell: Jeffreys (L. D. Brown, T. T. Cai, A. DasGupta, "Interval estimation for a binomial proportion",
Statistical Science 16 (2001), 101-133), with their rule for the ends: no claim makes the lower limit zero, a claim on
every parcel makes the upper limit one. Exposure may be any real number.

Shrinkage: each cell's rate is taken to be drawn from a beta distribution around its item type's rate, and the item
types' rates around the shop's. How far they spread follows from the marginal likelihood of all cells, those without a
claim included: dropping them would raise every rate. A cell's prior is built from the other cells of its item type,
so no claim is counted twice.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.optimize import minimize
from scipy.special import betaln
from scipy.stats import beta as beta_distribution

from models.damage.arrays import BoolArray, FloatArray, IntArray, at_least_the_claims, floats, require_columns, sums
from models.wilson import wilson

LEAST_SEEN = 5.0
# Prior weights in parcels. The bounds keep a shop without spread, or without claims, from infinities.
LEAST_WEIGHT, MOST_WEIGHT = 1.0, 1e6
# How far a method may stray from its item type, as a share of the item type's rate: from a twentieth to twice over.
SPREADS = np.linspace(0.05, 2.0, 27)
CELL = ("item_type", "packing_method", "claims", "exposure")


@dataclass(frozen=True)
class Shrunk:
    """Posterior of each cell's rate, a beta distribution. alpha, beta: shape (cells,). item_type_rate: of each cell's
    item type, shape (cells,)."""

    alpha: FloatArray
    beta: FloatArray
    item_type_rate: FloatArray

    @property
    def rate(self) -> FloatArray:
        """Posterior mean."""
        return self.alpha / (self.alpha + self.beta)

    def interval(self, level: float = 0.95) -> tuple[FloatArray, FloatArray]:
        """Equal-tailed posterior interval."""
        return _beta_interval(self.alpha, self.beta, level)


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


def wilson_interval(claims: FloatArray, exposure: FloatArray, level: float = 0.95) -> tuple[FloatArray, FloatArray]:
    """Wilson's score limits, as a check beside Jeffreys'. Shape (cells,)."""
    at_risk = at_least_the_claims(claims, exposure)
    limits = np.array([wilson(*cell, level) for cell in zip(claims, at_risk, strict=True)]).reshape(-1, 2)
    return limits[:, 0], limits[:, 1]


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


def shrink_rates(claims: FloatArray, exposure: FloatArray, item_types: IntArray) -> Shrunk:
    """Each cell's rate, shrunk towards its item type. `item_types` numbers each cell's item type from 0.

    All inputs and outputs have shape (cells,). A cell never used gets its item type's distribution; an item type
    without any exposure gets the shop's. The spread of methods within an item type is not taken as known: the
    posterior is averaged over SPREADS, each weighted by how well it foretells every cell from the others.
    """
    at_risk = at_least_the_claims(claims, exposure)
    types = int(item_types.max(initial=-1)) + 1
    type_claims, type_risk = sums(item_types, claims, types), sums(item_types, at_risk, types)
    shop = _shop_prior(type_claims, type_risk)
    type_rate = ((type_claims + shop[0]) / (type_risk + sum(shop)))[item_types]
    rate, shape = _forecast(claims, at_risk, item_types, type_rate, shop)
    alpha, beta = shape, shape * (1.0 - rate) / rate
    fit = _marginal(claims, at_risk, alpha, beta).sum(axis=1)
    # Each cell speaks twice in this product, once predicted and once predicting: hence the square root.
    weight = np.exp(0.5 * (fit - fit.max(initial=-np.inf)))
    return _averaged(claims + alpha, at_risk - claims + beta, weight / weight.sum(), type_rate)


def _shop_prior(type_claims: FloatArray, type_risk: FloatArray) -> tuple[float, float]:
    """The beta distribution of an item type's rate, worth at least one claim: below that it would hold that most item
    types never break, and cells without a claim would be promised too much."""
    alpha, beta = fit_beta_binomial(type_claims, type_risk)
    is_fitted = alpha != 0.5 or beta != 0.5
    return (max(alpha, 1.0), beta * max(alpha, 1.0) / alpha) if is_fitted else (alpha, beta)


def _forecast(
    claims: FloatArray, at_risk: FloatArray, item_types: IntArray, type_rate: FloatArray, shop: tuple[float, float]
) -> tuple[FloatArray, FloatArray]:
    """Each cell's rate as predicted by the other cells of its item type and the shop, and the claims this is worth.

    Shapes (spreads, cells). A spread is the coefficient of variation of methods around their item type's rate.
    """
    own = 1.0 / SPREADS[:, None] ** 2
    discount = 1.0 / (1.0 + at_risk * type_rate / own)
    rest_claims = _rest(claims * discount, item_types) + shop[0]
    rest_risk = _rest(at_risk * discount, item_types) + sum(shop)
    # Relative variances of two independent factors: the method within its type, and the type's rate itself.
    return rest_claims / rest_risk, 1.0 / (1.0 / own + 1.0 / rest_claims + 1.0 / (own * rest_claims))


def _rest(values: FloatArray, item_types: IntArray) -> FloatArray:
    """Sum over the other cells of the same item type, row by row."""
    types = int(item_types.max(initial=-1)) + 1
    total = np.array([sums(item_types, row, types) for row in values])
    return np.maximum(total[:, item_types] - values, 0.0)


def _averaged(alpha: FloatArray, beta: FloatArray, weight: FloatArray, type_rate: FloatArray) -> Shrunk:
    """One beta distribution per cell with the mean and variance of the weighted mixture."""
    size = alpha + beta
    share = weight[:, None]
    mean = (share * alpha / size).sum(axis=0)
    square = (share * alpha * (alpha + 1.0) / (size * (size + 1.0))).sum(axis=0)
    total = (mean - square) / np.maximum(square - mean**2, 1e-300)
    return Shrunk(mean * total, (1.0 - mean) * total, type_rate)


def too_few(claims: FloatArray, exposure: FloatArray, item_type_rate: FloatArray) -> BoolArray:
    """Whether a cell has too few parcels to tell: fewer than LEAST_SEEN claims seen, and fewer expected at its item
    type's rate. Shape (cells,)."""
    return np.asarray((claims < LEAST_SEEN) & (exposure * item_type_rate < LEAST_SEEN), dtype=bool)


def damage_rates(cells: pd.DataFrame) -> pd.DataFrame:
    """One row per cell of `cells` (columns CELL), same order and index, with the columns

    rate, rate_low, rate_high (Jeffreys), wilson_low, wilson_high, shrunk_rate, shrunk_low, shrunk_high, alpha, beta
    (the posterior, for models/damage/decision.py), item_type_rate, is_too_few. Rates are fractions.
    """
    require_columns(cells, CELL, "damage cells")
    claims, exposure = floats(cells["claims"]), floats(cells["exposure"])
    shrunk = shrink_rates(claims, exposure, pd.factorize(cells["item_type"])[0].astype(np.int64))
    columns: dict[str, FloatArray | BoolArray] = {"rate": raw_rates(claims, exposure)}
    columns["rate_low"], columns["rate_high"] = jeffreys_interval(claims, exposure)
    columns["wilson_low"], columns["wilson_high"] = wilson_interval(claims, exposure)
    columns["shrunk_rate"] = shrunk.rate
    columns["shrunk_low"], columns["shrunk_high"] = shrunk.interval()
    columns |= {"alpha": shrunk.alpha, "beta": shrunk.beta, "item_type_rate": shrunk.item_type_rate}
    columns["is_too_few"] = too_few(claims, exposure, shrunk.item_type_rate)
    return cells.assign(**columns)
