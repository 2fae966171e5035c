"""What a cell's price should be by all other cells: a curve for the carrier and shrunk departures from it.

All is done in logarithms, so that a zone or a service is a factor. Each level (the carrier, a zone, a service, a lane)
is a local mean over weights near on a scale of ratios, shrunk towards the level above by so many cells as stand in
LEVELS; cells far off count less (Huber's weights). The levels are refitted in turn until each explains what the others
leave (backfitting: Hastie and Tibshirani, Generalized Additive Models, 1990, chapter 4).
"""

from dataclasses import dataclass

import numpy as np

from models.learned_prices.cells import Cells, Numbers, Places

ROUNDS = 4
# How many times the usual miss, or up to which miss in any case, a cell counts in full.
HUBER, NEAR = 1.5, 0.05
NORMAL_PER_MAD = 1.4826


@dataclass(frozen=True)
class Level:
    """What belongs together (part of the lane's name), how near in weight (a ratio's logarithm), the shrinkage."""

    parts: tuple[int, ...]
    width: float | None
    shrinkage: float
    is_left_out: bool = False


# Places of a lane's name: 0 the service, 1 the zone. The last level looks at a lane's other weights only.
LEVELS = (
    Level((), 0.25, 0.3),
    Level((0,), None, 1.0),
    Level((1,), None, 0.5),
    Level((0,), 0.4, 1.0),
    Level((1,), 1.0, 2.0),
    Level((0, 1), None, 0.5),
    Level((0, 1), 0.6, 1.5),
    Level((0, 1), 0.12, 1.0, is_left_out=True),
)


def mad(values: Numbers) -> float:
    """A robust standard deviation about zero; 0 of no values."""
    return NORMAL_PER_MAD * float(np.median(np.abs(values))) if len(values) else 0.0


def pooled(found: Cells) -> Numbers:
    """The smooth logarithm of the price by lane and knot."""
    knots = found.knots
    middles, weights = _gridded(found, knots)
    logs = np.log(knots)
    start = _line(middles, weights, logs)
    parts = np.zeros((len(LEVELS), *middles.shape))
    members = [_members(found.lanes, level) for level in LEVELS]
    kernels = [_kernel(logs, level) for level in LEVELS]
    for turn in range(ROUNDS):
        for number, level in enumerate(LEVELS):
            rest = middles - start - parts.sum(axis=0)
            # At first all count in full: a lane that is expensive as a whole has no outliers.
            counted = weights * _huber(rest, weights) if turn else weights
            own = rest + parts[number]
            sums = members[number] @ (counted * own) @ kernels[number]
            masses = members[number] @ counted @ kernels[number]
            parts[number] = members[number].T @ (sums / (masses + level.shrinkage))
    smooth: Numbers = start + parts.sum(axis=0)
    return smooth


def _gridded(found: Cells, knots: Places) -> tuple[Numbers, Numbers]:
    """Mean logarithm and weight of the cells nearest to each knot, by lane; weight 0 where there is none."""
    shape = (len(found.lanes), len(knots))
    place = np.clip(np.searchsorted(knots, found.band), 0, len(knots) - 1)
    weights, sums = np.zeros(shape), np.zeros(shape)
    # Of a cell's own scatter more bills tell more; of its place in the list they do not.
    counted = 4 * found.counts / (found.counts + 3)
    np.add.at(weights, (found.lane, place), counted)
    np.add.at(sums, (found.lane, place), counted * (found.low + found.high) / 2)
    return np.divide(sums, weights, out=np.zeros(shape), where=weights > 0), weights


def _line(middles: Numbers, weights: Numbers, logs: Numbers) -> Numbers:
    """The line through all cells on logarithms of weight, not falling."""
    mass = weights.sum()
    centre = (weights.sum(axis=0) @ logs) / mass
    level = (weights * middles).sum() / mass
    spread = weights.sum(axis=0) @ (logs - centre) ** 2
    slope = max(float((weights * middles).sum(axis=0) @ (logs - centre) / spread), 0.0) if spread > 0 else 0.0
    line: Numbers = np.broadcast_to(level + slope * (logs - centre), middles.shape)
    return line


def _members(lanes: tuple[tuple[str, str], ...], level: Level) -> Numbers:
    """Groups by lanes: one where the lane belongs to the group."""
    names = ["\0".join(lane[part] for part in level.parts) for lane in lanes]
    distinct = {name: number for number, name in enumerate(dict.fromkeys(names))}
    found = np.zeros((len(distinct), len(lanes)))
    found[[distinct[name] for name in names], np.arange(len(lanes))] = 1
    return found


def _kernel(logs: Numbers, level: Level) -> Numbers:
    """How much a cell at one knot tells of another."""
    apart = np.abs(logs[:, None] - logs[None, :])
    found: Numbers = np.ones_like(apart) if level.width is None else np.exp(-apart / level.width)
    if level.is_left_out:
        np.fill_diagonal(found, 0)
    return found


def _huber(misses: Numbers, weights: Numbers) -> Numbers:
    """Full weight near, falling weight far off."""
    usual = max(HUBER * mad(misses[weights > 0]), NEAR)
    return np.minimum(1, usual / np.maximum(np.abs(misses), 1e-12))
