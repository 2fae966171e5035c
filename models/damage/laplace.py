"""Laplace's approximation for counts of damage: log odds that are sums of effects, each drawn from a normal one.

L. Tierney, J. B. Kadane, "Accurate approximations for posterior moments and marginal densities", Journal of the
American Statistical Association 81 (1986), 82-86. The mode is found by Newton's steps; around it the effects are taken
to be normal, and that normal distribution is then moved to where its draws have as many claims as were seen.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.linalg import cho_factor, cho_solve, solve_triangular
from scipy.sparse import csr_array, hstack
from scipy.special import expit

from models.damage.arrays import NEGLIGIBLE, FloatArray, IntArray, sums

# The shop's own rate is free: a normal distribution this wide around one in a hundred, where nothing else is said,
# hinders nothing.
MIDDLE, WIDE = float(np.log(0.01)), 3.0
NEWTON_STEPS, STILL = 40, 1e-8
BALANCING_STEPS, BALANCED = 12, 1e-2
# Where seven points of Gauss and Hermite's rule stand, and what each counts for.
POINTS, SHARES = np.polynomial.hermite_e.hermegauss(7)


@dataclass(frozen=True)
class Design:
    """Cells of parcels and the levels that each has.

    claims: shape (cells,), whole or not. levels: factor -> number of the cell's level from 0, shape (cells,). sizes:
    levels of each factor, those without a parcel among them. middle: log odds that the shop's own rate is thought to be
    around.
    """

    claims: FloatArray
    levels: Mapping[str, IntArray]
    sizes: tuple[int, ...]
    middle: float = MIDDLE

    @cached_property
    def matrix(self) -> csr_array:
        """Cells x effects: the shop's own, then one for each level of each factor."""
        return effects_of(self.levels, self.sizes)

    @cached_property
    def columns(self) -> IntArray:
        """The effects that add up to each cell's log odds, as columns of the matrix: shape (cells, 1 + factors)."""
        return np.asarray(self.matrix.indices, dtype=np.int64).reshape(self.claims.size, -1)

    @cached_property
    def pairs(self) -> IntArray:
        """Where each two effects of a cell stand in a flat square of all effects, cell by cell."""
        return np.asarray((self.columns[:, :, None] * self.edges[-1] + self.columns[:, None, :]).ravel())

    def reach(self, effects: FloatArray) -> FloatArray:
        """The cells' log odds, shape (cells,). One step after the other: the library's product takes longer to begin
        than to multiply, where a shop has few cells."""
        return _added(effects[self.columns].T)

    def by_effect(self, values: FloatArray) -> FloatArray:
        """Sums of the cells' values over the cells of each effect, shape (effects,)."""
        spread = np.repeat(values, self.columns.shape[1])
        return sums(self.columns.ravel(), spread, int(self.edges[-1]))

    def by_pair(self, values: FloatArray) -> FloatArray:
        """Sums of the cells' values over the cells that two effects share, shape (effects, effects)."""
        effects = int(self.edges[-1])
        spread = np.repeat(values, self.columns.shape[1] ** 2)
        return sums(self.pairs, spread, effects**2).reshape(effects, effects)

    def variances(self, covariance: FloatArray) -> FloatArray:
        """Of the cells' log odds, shape (cells,), given the effects' covariance."""
        width = self.columns.shape[1]
        between = covariance.ravel()[self.pairs].reshape(-1, width, width)
        return _added(_added(between.transpose(1, 0, 2)).T)

    @property
    def edges(self) -> IntArray:
        """Where each factor's effects begin, and where the last one's end."""
        return np.cumsum([1, *self.sizes])


def _added(parts: FloatArray) -> FloatArray:
    """Sum along the first axis, in its order: figures are the same, bit by bit, however many there are."""
    found = np.array(parts[0])
    for part in parts[1:]:
        found += part
    return found


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


@dataclass(frozen=True)
class Posterior:
    """What is known of the effects, given how far each factor's spread.

    exposure: parcels at risk, shape (cells,); fresh parcels may have more claims, which tells of their like. spreads:
    standard deviation of each factor's effects, in log odds. weight: what a parcel counts for, one or less.
    """

    design: Design
    exposure: FloatArray
    spreads: FloatArray
    weight: float

    @cached_property
    def at_risk(self) -> FloatArray:
        """Exposure, never nothing."""
        return np.maximum(self.exposure, NEGLIGIBLE)

    @cached_property
    def precision(self) -> FloatArray:
        """Of each effect before anything is seen."""
        return np.append(WIDE**-2.0, np.repeat(self.spreads**-2.0, self.design.sizes))

    def from_middle(self, effects: FloatArray) -> FloatArray:
        """The effects' distance from what they are before anything is seen."""
        return np.asarray(effects - np.append(self.design.middle, np.zeros(effects.size - 1)))

    def height(self, effects: FloatArray, reach: FloatArray) -> float:
        """Log likelihood and prior of the effects, which make the cells' log odds `reach`, but for a constant."""
        likelihood = self.design.claims @ reach - self.at_risk @ np.logaddexp(0.0, reach)
        return float(self.weight * likelihood - 0.5 * self.precision @ self.from_middle(effects) ** 2)

    def slope(self, effects: FloatArray, rate: FloatArray) -> FloatArray:
        """How the height grows with each effect."""
        steepness = self.design.by_effect(self.design.claims - self.at_risk * rate)
        return np.asarray(self.weight * steepness - self.precision * self.from_middle(effects))

    def information(self, rate: FloatArray) -> FloatArray:
        """Lower Cholesky factor of the information about the effects."""
        curvature = self.design.by_pair(self.weight * self.at_risk * rate * (1.0 - rate))
        curvature[np.diag_indices_from(curvature)] += self.precision
        return np.asarray(cho_factor(curvature, lower=True)[0])


def fit(posterior: Posterior, start: FloatArray) -> Fit:
    """The most likely effects, by Newton's steps. start: effects to begin with."""
    reach = posterior.design.reach
    effects, best = start, posterior.height(start, reach(start))
    for _ in range(NEWTON_STEPS):
        rate = expit(reach(effects))
        factor = posterior.information(rate)
        step = cho_solve((factor, True), posterior.slope(effects, rate))
        while (reached := posterior.height(effects + step, reach(effects + step))) < best and abs(step).max() > STILL:
            step = step / 2.0
        if reached - best < STILL:
            break
        effects, best = effects + step, reached
    return Fit(effects, factor)


def balanced(posterior: Posterior, start: FloatArray) -> Fit:
    """The normal distribution of effects whose draws have as many claims on average as were seen.

    Few claims make the distribution of a logarithm lopsided: draws around its mode have more claims on average. Slopes
    are therefore taken from the mean of each rate over the draws (M. Opper, C. Archambeau, "The variational Gaussian
    approximation revisited", Neural Computation 21 (2009), 786-792). The information lies midway between that of the
    mean rates, which ends too soon below, and that of the middle ones, which goes on too far above.
    """
    design, effects = posterior.design, start
    rate = expit(design.reach(effects))
    for _ in range(BALANCING_STEPS):
        reach = design.reach(effects)
        factor = posterior.information(np.sqrt(expit(reach) * rate))
        around = cho_solve((factor, True), np.eye(effects.size))
        rate = mean_rates(reach, design.variances(around))
        step = cho_solve((factor, True), posterior.slope(effects, rate))
        effects = effects + step * min(1.0, 1.0 / np.abs(step).max())
        if np.abs(step).max() < BALANCED:
            break
    return Fit(effects, factor)


def mean_rates(middle: FloatArray, variance: FloatArray) -> FloatArray:
    """Mean of a rate whose log odds are normal: seven points of Gauss and Hermite's rule, shape as given."""
    reach, whole = np.sqrt(variance), SHARES.sum()
    parts = [share / whole * expit(middle + point * reach) for point, share in zip(POINTS, SHARES, strict=True)]
    return np.asarray(np.sum(parts, axis=0))
