"""Made-up demand for tests and benchmarks: long, heavy, bulky and small goods, sent by a made-up tariff."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from models.assortment.candidates import closed_joins
from models.assortment.problem import AssortmentProblem

Floats = NDArray[np.float64]

# Packed sides from and to, pounds from and to: tubes, tripods, mounts, bases, small parts.
_KINDS = (
    ((26, 8, 8), (48, 14, 14), (6, 25)),
    ((30, 5, 5), (46, 8, 8), (5, 14)),
    ((10, 8, 6), (20, 14, 12), (10, 38)),
    ((18, 16, 8), (30, 26, 16), (15, 45)),
    ((4, 3, 3), (10, 8, 6), (1, 4)),
)


def demand(rng: np.random.Generator, item_types: int, classes: int) -> tuple[Floats, ...]:
    """Needed sides (classes x 3), pounds, zone (0 to 7) and parcels a period of each demand class."""
    kind = rng.integers(0, len(_KINDS), item_types)
    low, high = (np.array([_KINDS[k][end] for k in kind], dtype=float) for end in (0, 1))
    sides = -np.sort(-(low + (high - low) * rng.random((item_types, 3))), axis=1)
    pounds = np.array([rng.uniform(*_KINDS[k][2]) for k in kind])
    item = rng.choice(item_types, classes, p=rng.dirichlet(np.full(item_types, 0.7)) * 0.8 + 0.2 / item_types)
    clearance = rng.choice([1.0, 2.0, 3.0], classes, p=[0.5, 0.3, 0.2])
    needed: Floats = np.ceil(sides[item] + 2 * clearance[:, None])
    zone, parcels = rng.integers(0, 8, classes).astype(float), 1.0 + rng.poisson(3.0, classes).astype(float)
    weights: Floats = pounds[item] + clearance
    return needed, weights, zone, parcels


def postage_cents(sides: Floats, pounds: Floats, zone: Floats) -> Floats:
    """Cents of one parcel by outside sides (.. x 3): rated weight by zone, surcharges for long, wide and very large."""
    girth = sides[..., 0] + 2 * (sides[..., 1] + sides[..., 2])
    rated = np.ceil(np.maximum(pounds, sides.prod(axis=-1) / 139.0))
    rated = np.where((sides[..., 0] > 96) | (girth > 130), np.maximum(rated, 90.0), rated)
    long_or_wide = (sides[..., 0] > 48) | (sides[..., 1] > 30) | (girth > 105)
    cents: Floats = np.round(720 + rated * (38 + 13 * zone) + 1900.0 * long_or_wide + 9000.0 * (girth > 130))
    return cents


def shop(seed: int, item_types: int, classes: int, candidates: int, count: int) -> AssortmentProblem:
    """A whole problem; the candidates are the closed joins, thinned at random to the number asked, the largest kept."""
    rng = np.random.default_rng(seed)
    needed, pounds, zone, parcels = demand(rng, item_types, classes)
    sizes = closed_joins(needed)
    chosen = rng.choice(len(sizes) - 1, min(candidates, len(sizes)) - 1, replace=False)
    sizes = sizes[np.append(chosen, len(sizes) - 1)]
    costs = np.empty((classes, len(sizes)))
    for column, size in enumerate(sizes):
        fits = (needed <= size).all(axis=1)
        cents = postage_cents(np.broadcast_to(size + 0.5, needed.shape), pounds, zone) + 0.04 * size.prod() ** 0.9
        costs[:, column] = np.where(fits, np.round(cents) * parcels, np.inf)
    return AssortmentProblem(costs, np.full(len(sizes), 1500.0), count)


def weighted(problem: AssortmentProblem, weights: Floats) -> AssortmentProblem:
    """The same problem with each class counted so many times, in whole cents."""
    return replace(problem, costs_cents=np.round(problem.costs_cents * weights[:, None]))


def skewed(seed: int, count: int) -> AssortmentProblem:
    """The hard shop, a few of whose classes are most of the demand."""
    plain = shop(3, 150, 4905, 3166, count)
    return weighted(plain, np.random.default_rng(seed).pareto(1.1, len(plain.costs_cents)) + 0.05)


def flat(seed: int, count: int) -> AssortmentProblem:
    """A shop of many item types whose classes cost the same in the largest size."""
    plain = shop(seed, 400, 4000, 2500, count)
    return weighted(plain, 3000 / plain.costs_cents[:, -1])


def network(vertices: int, count: int, seed: int = 0) -> AssortmentProblem:
    """Shortest ways in a random connected network with lengths of 1 to 100 and vertices²/50 edges.

    Made like the p-median problems of J. E. Beasley, "A note on solving large p-median problems", European Journal of
    Operational Research 21 (1985) 270-273, whose larger files are not at hand.
    """
    rng = np.random.default_rng(seed)
    ways = {(int(rng.integers(0, far)), far): int(rng.integers(1, 101)) for far in range(1, vertices)}
    while len(ways) < vertices**2 // 50:
        near, far = sorted(rng.integers(0, vertices, 2).tolist())
        if near < far:
            ways[near, far] = int(rng.integers(1, 101))
    ends = tuple(zip(*ways, strict=True))
    lengths = csr_array((list(ways.values()), ends), shape=(vertices, vertices))
    return AssortmentProblem(dijkstra(lengths, directed=False), np.zeros(vertices), count)


def random_problem(seed: int) -> AssortmentProblem:
    """Small, with pairs that do not fit, fixed costs, kept and dropped sizes; costs whole in every second one."""
    rng = np.random.default_rng(seed)
    classes, sizes = int(rng.integers(1, 14)), int(rng.integers(1, 10))
    costs = rng.lognormal(5, 1.2, (classes, 1)) * rng.uniform(1, 3, (classes, sizes))
    fixed = rng.uniform(0, 300, sizes) * rng.integers(0, 2)
    if seed % 2:
        costs, fixed = np.round(costs), np.round(fixed)
    costs[rng.random(costs.shape) < rng.choice([0.0, 0.3, 0.6])] = np.inf
    marked = rng.permutation(sizes)
    kept, dropped = marked[: rng.integers(0, 2)], marked[2 : 2 + rng.integers(0, 3)]
    number = int(rng.integers(max(1, len(kept)), sizes + 2))
    return AssortmentProblem(costs, fixed, number, tuple(kept.tolist()), tuple(dropped.tolist()))


def served_only(problem: AssortmentProblem) -> AssortmentProblem:
    """Without the classes that no allowed size fits, as the outside solver needs it."""
    allowed = np.setdiff1d(np.arange(len(problem.fixed_cents)), problem.dropped)
    return replace(problem, costs_cents=problem.costs_cents[np.isfinite(problem.costs_cents[:, allowed]).any(axis=1)])
