"""One model of damage: how item type, packing method, carrier, service, distance and month add up.

The log odds that a parcel is claimed are a sum of one effect per level of each factor (models/damage/laplace.py), those
of a factor drawn from a normal distribution around nothing: what few parcels tell is drawn towards its like, what many
tell stands. How far each factor spreads follows from the likelihood of all cells. As that is not known either, draws
are taken over it (importance sampling around the best), and over the share of claims that is still to come: a share
that makes the claims of all cells likelier counts more.
Where cells vary more than chance allows, a parcel counts for less: Pearson's statistic over its degrees of freedom
(P. McCullagh, J. A. Nelder, "Generalized Linear Models", 2nd ed., section 4.5).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from scipy.sparse import csr_array
from scipy.special import expit, softmax

from models.damage.arrays import FloatArray, IntArray, sums
from models.damage.laplace import Design, Fit, balanced, effects_of, fit

# How far a factor may be thought to spread before anything is seen: half a normal distribution of this scale, in log
# odds. Few factors make a parcel four times as likely to break. Common practice, no source.
USUAL_SPREAD = 0.7
LEAST_SPREAD, FIRST_SPREAD = 0.01, 0.4
ROUNDS, SETTLED, HURRY = 80, 2e-3, 1.6
# Spreads drawn, and draws of the effects from all of them together.
TRIES, DRAWS = 64, 1_024


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
    together: IntArray,
    *,
    usual: Mapping[str, float] = MappingProxyType({}),
    seed: int = 0,
) -> Effects:
    """Draws of all effects.

    exposures: parcels at risk of each cell as they may be, each as likely by itself, shape (cells,). together: number of
    each cell's group, shape (cells,), among which it is judged whether damage varies more than chance allows. usual:
    how far a factor may be thought to spread, by name; USUAL_SPREAD for others.
    """
    rng = np.random.default_rng(seed)
    middle, scale = (
        np.asarray(np.mean(exposures, axis=0)),
        np.array([usual.get(name, USUAL_SPREAD) for name in design.levels]),
    )
    best, spreads = _best(design, middle, 1.0, scale)
    weight = 1.0 / overdispersion(design, middle, best, together)
    if weight < 1.0:
        best, spreads = _best(design, middle, weight, scale)
    tried, likely = _tried(design, spreads, best, scale, rng)
    fits = [fit(design, exposures[at % len(exposures)], each, weight, best.effects) for at, each in enumerate(tried)]
    chance = softmax(likely + np.array([each.evidence for each in fits]))
    times = np.bincount(rng.choice(TRIES, DRAWS, p=chance), minlength=TRIES)
    draws = [
        balanced(fits[at], design, exposures[at % len(exposures)], tried[at], weight).drawn(rng, times[at])
        for at in np.flatnonzero(times)
    ]
    order, turns = rng.permutation(DRAWS), np.repeat(np.arange(TRIES) % len(exposures), times)
    return Effects(np.vstack(draws)[order], turns[order], design.sizes)


def _best(design: Design, exposure: FloatArray, weight: float, scale: FloatArray) -> tuple[Fit, FloatArray]:
    """The likeliest spreads, shape (factors,), and the effects with them, by expectation and maximum in turns."""
    levels, edges = np.array(design.sizes, dtype=float), design.edges
    rate = (design.claims.sum() + 0.5) / (exposure.sum() + 1.0)
    start = np.append(np.log(rate), np.zeros(edges[-1] - 1))
    spreads = np.minimum(np.full(levels.size, FIRST_SPREAD), scale)
    for _ in range(ROUNDS):
        found = fit(design, exposure, spreads, weight, start)
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
    rate = expit(design.matrix @ found.effects)
    groups = _count(together)
    expected = sums(together, exposure * rate, groups)
    variance = sums(together, exposure * rate * (1.0 - rate), groups)
    seen = ((sums(together, design.claims, groups) - expected) ** 2).sum()
    ratio = seen / max(variance.sum(), 1e-9)
    error = np.sqrt((2.0 * variance**2 + variance).sum()) / max(variance.sum(), 1e-9)
    return float(ratio) if ratio > 1.0 + error else 1.0


def _told(design: Design, found: Fit, spreads: FloatArray) -> FloatArray:
    """How much of each effect the record tells, from nothing to all: shape (effects but the first,)."""
    return np.asarray(1.0 - found.variances[1:] / np.repeat(spreads**2, design.sizes)).clip(0.0, 1.0)


def _tried(
    design: Design, spreads: FloatArray, best: Fit, scale: FloatArray, rng: np.random.Generator
) -> tuple[FloatArray, FloatArray]:
    """Spreads around the best, shape (TRIES, factors), and the log of prior by chance of being drawn, (TRIES,)."""
    told = np.add.reduceat(_told(design, best, spreads) ** 2, design.edges[:-1] - 1)
    reach = 1.2 / np.sqrt(2.0 * told + 2.0 * (spreads / scale) ** 2 + 1.0)
    apart = rng.standard_normal((TRIES, spreads.size))
    apart[0] = 0.0
    tried = spreads * np.exp(reach * apart)
    prior = (np.log(tried) - 0.5 * (tried / scale) ** 2).sum(axis=1)
    return tried, prior + 0.5 * (apart**2).sum(axis=1)
