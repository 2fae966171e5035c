"""Laplace's approximation for counts of damage: log odds that are sums of effects, each drawn from a normal one.

L. Tierney, J. B. Kadane, "Accurate approximations for posterior moments and marginal densities", Journal of the
American Statistical Association 81 (1986), 82-86. The mode is found by Newton's steps; around it the effects are taken
to be normal, and that normal distribution is then moved to where it keeps the number of claims.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.linalg import cho_factor, cho_solve, solve_triangular
from scipy.sparse import csr_array, hstack
from scipy.special import expit

from models.damage.arrays import NEGLIGIBLE, FloatArray, IntArray

# The shop's own rate is free: a normal distribution this wide around one in a hundred hinders nothing.
MIDDLE, WIDE = float(np.log(0.01)), 3.0
NEWTON_STEPS, STILL = 40, 1e-8
BALANCING_STEPS, BALANCED = 12, 1e-2


@dataclass(frozen=True)
class Design:
    """Cells of parcels and the levels that each has.

    claims: shape (cells,), whole or not. levels: factor -> number of the cell's level from 0, shape (cells,). sizes:
    levels of each factor, those without a parcel among them.
    """

    claims: FloatArray
    levels: Mapping[str, IntArray]
    sizes: tuple[int, ...]

    @cached_property
    def matrix(self) -> csr_array:
        """Cells x effects: the shop's own, then one for each level of each factor."""
        return effects_of(self.levels, self.sizes)

    @property
    def edges(self) -> IntArray:
        """Where each factor's effects begin, and where the last one's end."""
        return np.cumsum([1, *self.sizes])


def effects_of(levels: Mapping[str, IntArray], sizes: tuple[int, ...]) -> csr_array:
    """Which effects add up to a cell's log odds: cells x (1 + sum of sizes), ones and nothing."""
    count = next(iter(levels.values())).size
    blocks = [csr_array(np.ones((count, 1)))]
    for level, size in zip(levels.values(), sizes, strict=True):
        blocks.append(csr_array((np.ones(count), (np.arange(count), level)), shape=(count, size)))
    return csr_array(hstack(blocks, format="csr"))


@dataclass(frozen=True)
class Fit:
    """effects: the most likely ones, shape (effects,). factor: lower Cholesky factor of the information about them."""

    effects: FloatArray
    factor: FloatArray

    @cached_property
    def variances(self) -> FloatArray:
        """Of each effect, shape (effects,)."""
        return np.asarray(np.diag(cho_solve((self.factor, True), np.eye(self.effects.size))))

    def drawn(self, rng: np.random.Generator, draws: int) -> FloatArray:
        """Draws of all effects together, shape (draws, effects)."""
        apart = rng.standard_normal((self.effects.size, draws))
        return np.asarray(self.effects + solve_triangular(self.factor, apart, lower=True, trans="T").T)


def fit(design: Design, exposure: FloatArray, spreads: FloatArray, weight: float, start: FloatArray) -> Fit:
    """The effects, given how far each factor's spread.

    exposure: parcels at risk, shape (cells,); fresh parcels may have more claims, which tells of their like. spreads:
    standard deviation of each factor's effects, in log odds. weight: what a parcel counts for, one or less. start:
    effects to begin with.
    """
    matrix, at_risk = design.matrix, np.maximum(exposure, NEGLIGIBLE)
    middle, precision = _prior(spreads, design.sizes)

    def height(effects: FloatArray) -> float:
        reach = matrix @ effects
        told = design.claims * reach - at_risk * np.logaddexp(0.0, reach)
        return float(weight * told.sum() - 0.5 * (precision * (effects - middle) ** 2).sum())

    effects, best = start, height(start)
    for _ in range(NEWTON_STEPS):
        rate = expit(matrix @ effects)
        slope = weight * (matrix.T @ (design.claims - at_risk * rate)) - precision * (effects - middle)
        factor = _information(matrix, weight * at_risk * rate * (1.0 - rate), precision)
        step = cho_solve((factor, True), slope)
        while (reached := height(effects + step)) < best and np.abs(step).max() > STILL:
            step = step / 2.0
        if reached - best < STILL:
            break
        effects, best = effects + step, reached
    return Fit(effects, factor)


def balanced(found: Fit, design: Design, exposure: FloatArray, spreads: FloatArray, weight: float) -> Fit:
    """The normal distribution nearest to the effects' own, where `found` lies around their mode.

    Few claims make the distribution of a logarithm lopsided: draws around its mode have more claims on average than
    were seen. Rates are therefore taken as they are on average over the draws, in slope and in information (M. Opper,
    C. Archambeau, "The variational Gaussian approximation revisited", Neural Computation 21 (2009), 786-792).
    """
    matrix, at_risk = design.matrix, np.maximum(exposure, NEGLIGIBLE)
    middle, precision = _prior(spreads, design.sizes)
    effects, factor = found.effects, found.factor
    for _ in range(BALANCING_STEPS):
        around = cho_solve((factor, True), np.eye(effects.size))
        variance = np.asarray(matrix.multiply(matrix @ around).sum(axis=1)).ravel()
        rate = mean_rates(matrix @ effects, variance)
        slope = weight * (matrix.T @ (design.claims - at_risk * rate)) - precision * (effects - middle)
        factor = _information(matrix, weight * at_risk * rate * (1.0 - rate), precision)
        step = cho_solve((factor, True), slope)
        effects = effects + step * min(1.0, 1.0 / np.abs(step).max())
        if np.abs(step).max() < BALANCED:
            break
    return Fit(effects, factor)


def mean_rates(middle: FloatArray, variance: FloatArray) -> FloatArray:
    """Mean of a rate whose log odds are normal: seven points of Gauss and Hermite's rule, shape as given."""
    reach = np.sqrt(variance)
    return np.asarray(sum(share * expit(middle + point * reach) for point, share in zip(*_POINTS, strict=True)))


_AT, _SHARE = np.polynomial.hermite_e.hermegauss(7)
_POINTS = (_AT.tolist(), (_SHARE / _SHARE.sum()).tolist())


def _prior(spreads: FloatArray, sizes: tuple[int, ...]) -> tuple[FloatArray, FloatArray]:
    """Middle and precision of each effect before anything is seen."""
    precision = np.append(WIDE**-2.0, np.repeat(spreads**-2.0, sizes))
    return np.append(MIDDLE, np.zeros(precision.size - 1)), precision


def _information(matrix: csr_array, weights: FloatArray, precision: FloatArray) -> FloatArray:
    curvature = (matrix.T @ matrix.multiply(weights[:, None])).toarray()
    curvature[np.diag_indices_from(curvature)] += precision
    return np.asarray(cho_factor(curvature, lower=True)[0])
