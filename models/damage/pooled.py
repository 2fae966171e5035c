"""One model of damage: how item type, packing method, carrier, service, zones and month add up.

The log odds that a parcel is claimed are a sum of one effect per level of each factor (models/damage/laplace.py), those
of a factor drawn from a normal distribution around nothing: what few parcels tell is drawn towards its like, what many
tell stands. How far each factor spreads, and which share of claims is still to come, is drawn in turns with the effects
(S. Geman, D. Geman, "Stochastic relaxation, Gibbs distributions, and the Bayesian restoration of images", IEEE
Transactions on Pattern Analysis and Machine Intelligence 6 (1984), 721-741): spreads as the effects show them, shares
as the claims of all cells show them.
Where cells vary more than chance allows, a parcel counts for less: Pearson's statistic over its degrees of freedom
(P. McCullagh, J. A. Nelder, "Generalized Linear Models", 2nd ed., section 4.5).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from scipy.sparse import csr_array
from scipy.special import expit, softmax

from models.damage.arrays import NEGLIGIBLE, FloatArray, IntArray, sums
from models.damage.laplace import Design, Fit, Posterior, balanced, effects_of, fit

# How far a factor may be thought to spread before anything is seen: half a normal distribution of this scale, in log
# odds. Few factors make a parcel four times as likely to break. Common practice, no source.
USUAL_SPREAD = 0.7
LEAST_SPREAD, FIRST_SPREAD = 0.01, 0.4
ROUNDS, SETTLED, HURRY = 80, 2e-3, 1.6
# Turns that draws are taken from after the first ones, and draws from each.
FIRST, TURNS, EACH = 8, 64, 16
# Spreads that are tried, as parts of how far a factor may be thought to spread.
TRIED = np.geomspace(0.02, 5.0, 80)


@dataclass(frozen=True)
class Effects:
    """What the record tells of all effects.

    draws: shape (draws, effects). turns: which of the exposures each was drawn with, shape (draws,). sizes: levels of
    each factor.
    """

    draws: FloatArray
    turns: IntArray
    sizes: tuple[int, ...]

    def rates(self, levels: Mapping[str, IntArray], parcels: FloatArray, groups: IntArray) -> FloatArray:
        """Damage rates of groups of cells, weighted by their parcels: shape (draws, groups).

        levels: factor -> number of each cell's level. groups: number of each cell's group from 0. All (cells,).
        """
        weights = parcels / sums(groups, parcels, _count(groups))[groups]
        return self._summed(levels, lambda _: weights, groups)

    def claims(self, levels: Mapping[str, IntArray], parcels: Sequence[FloatArray], groups: IntArray) -> FloatArray:
        """Claims on so many parcels of each cell, summed by group: shape (draws, groups). parcels: one array of shape
        (cells,) for each of the exposures that the effects were drawn with."""
        return self._summed(levels, lambda turn: parcels[turn], groups)

    def _summed(
        self, levels: Mapping[str, IntArray], weights: Callable[[int], FloatArray], groups: IntArray
    ) -> FloatArray:
        matrix, found = effects_of(levels, self.sizes), np.empty((self.draws.shape[0], _count(groups)))
        for turn in np.unique(self.turns):
            own = self.turns == turn
            shares = csr_array((weights(turn), (np.arange(groups.size), groups)), shape=(groups.size, found.shape[1]))
            found[own] = (shares.T @ expit(matrix @ self.draws[own].T)).T
        return found


def _count(groups: IntArray) -> int:
    return int(groups.max(initial=-1)) + 1


def pooled(
    design: Design,
    exposures: Sequence[FloatArray],
    together: IntArray | None = None,
    *,
    weight: float = 1.0,
    usual: Mapping[str, float] = MappingProxyType({}),
    seed: int = 0,
) -> Effects:
    """Draws of all effects.

    exposures: parcels at risk of each cell as they may be, each as likely by itself, shape (cells,). together: number
    of each cell's group, shape (cells,), among which it is judged whether damage varies more than chance allows; where
    there are none, a parcel counts for `weight`. usual: how far a factor may be thought to spread, by name;
    USUAL_SPREAD for others.
    """
    rng = np.random.default_rng(seed)
    middle, scale = (
        np.asarray(np.mean(exposures, axis=0)),
        np.array([usual.get(name, USUAL_SPREAD) for name in design.levels]),
    )
    best, spreads = _best(design, middle, weight, scale)
    if together is not None:
        weight = 1.0 / overdispersion(design, middle, best, together)
        best, spreads = _best(design, middle, weight, scale) if weight < 1.0 else (best, spreads)
    at_risk = np.maximum(np.array(exposures), NEGLIGIBLE)
    by_risk, turn = np.log(at_risk) @ design.claims, int(rng.integers(len(exposures)))
    draws, turns = [], []
    for _ in range(FIRST + TURNS):
        best = balanced(Posterior(design, at_risk[turn], spreads, weight), best.effects)
        draws.append(best.drawn(rng, EACH))
        turns.append(turn)
        effects = draws[-1][0]
        spreads = _spreads_drawn(effects, design, scale, rng)
        # The shop's own effect is left open: an exposure is as likely as the claims' shares of the cells under it.
        rate = expit(design.reach(effects))
        likely = weight * (by_risk - design.claims.sum() * np.log(at_risk @ rate))
        turn = int(rng.choice(len(exposures), p=softmax(likely)))
    return Effects(np.vstack(draws[FIRST:]), np.repeat(turns[FIRST:], EACH), design.sizes)


def _best(design: Design, exposure: FloatArray, weight: float, scale: FloatArray) -> tuple[Fit, FloatArray]:
    """The likeliest spreads, shape (factors,), and the effects with them, by expectation and maximum in turns."""
    levels, edges = np.array(design.sizes, dtype=float), design.edges
    rate = (design.claims.sum() + 0.5) / (exposure.sum() + 1.0)
    start = np.append(np.log(rate), np.zeros(edges[-1] - 1))
    spreads = np.minimum(np.full(levels.size, FIRST_SPREAD), scale)
    for _ in range(ROUNDS):
        found = fit(Posterior(design, exposure, spreads, weight), start)
        squares = np.add.reduceat(found.effects**2 + found.variances, edges[:-1])
        wanted = 0.5 * scale**2 * (np.hypot(levels - 1.0, 2.0 * np.sqrt(squares) / scale) - levels + 1.0)
        step, start = 0.5 * np.log(wanted / spreads**2), found.effects
        if np.abs(step).max() < SETTLED:
            break
        spreads = np.maximum(spreads * np.exp(HURRY * step), LEAST_SPREAD)
    return found, spreads


def overdispersion(design: Design, exposure: FloatArray, found: Fit, together: IntArray) -> float:
    """How much more the groups vary than chance allows: variance seen by variance expected; one where that may be
    chance."""
    rate = expit(design.reach(found.effects))
    groups = _count(together)
    expected = sums(together, exposure * rate, groups)
    variance = sums(together, exposure * rate * (1.0 - rate), groups)
    seen = ((sums(together, design.claims, groups) - expected) ** 2).sum()
    ratio = seen / max(variance.sum(), 1e-9)
    error = np.sqrt((2.0 * variance**2 + variance).sum()) / max(variance.sum(), 1e-9)
    return float(ratio) if ratio > 1.0 + error else 1.0


def _spreads_drawn(effects: FloatArray, design: Design, scale: FloatArray, rng: np.random.Generator) -> FloatArray:
    """How far each factor may spread, given its effects: shape (factors,)."""
    squares = np.add.reduceat(effects**2, design.edges[:-1])
    tried, levels = TRIED[:, None] * scale, np.array(design.sizes)
    likely = (1.0 - levels) * np.log(tried) - 0.5 * squares / tried**2 - 0.5 * (tried / scale) ** 2
    at = (likely + rng.gumbel(size=likely.shape)).argmax(axis=0)
    return np.asarray(tried[at, np.arange(scale.size)])
