"""How long buyers take to report damage, where the delays drift: a law whose scale changes from month to month.

The delay follows a gamma or a lognormal law of one of several shapes. Its scale is a random walk with a trend over the
thirty days in which a parcel was shipped, so that recent claims tell most of recent parcels. Only claims that came soon
enough to be seen are on record: each is judged within the age of its parcel (right truncation). Scale and trend lie on
a grid, which makes sums of all integrals: filtered forwards and drawn backwards (L. R. Rabiner, "A tutorial on hidden
Markov models", Proceedings of the IEEE 77 (1989), 257-286; S. Frühwirth-Schnatter, "Data augmentation and dynamic
linear models", Journal of Time Series Analysis 15 (1994), 183-202).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np
from scipy.special import gammainc, gammaincinv, ndtr, softmax
from scipy.stats import chi2

from models.damage.arrays import FloatArray, IntArray

BLOCK_DAYS, MOST_BLOCKS = 30, 30
# Middle delays that are tried, in logarithms of days, and how likely each is before a claim is seen: about ten days,
# two times in three between four and twenty-seven. Common practice, no source.
SCALES = np.linspace(0.0, np.log(200.0), 64)
USUAL_SCALE, UNSURE = np.log(10.0), 1.0
# Shapes: of gamma laws, and standard deviations of lognormal ones.
GAMMAS, LOGNORMALS = (0.7, 1.0, 1.5, 2.0, 3.0, 5.0), (0.4, 0.7, 1.0, 1.4)
LAWS = len(GAMMAS) + len(LOGNORMALS)
# How fast the logarithm of the scale may go, in thirty days; a trend fades by a fifth in that time.
TRENDS, FADING = np.array([-0.3, -0.15, 0.0, 0.15, 0.3]), 0.8
# Standard deviations of what scale and trend do beside it, each pair as likely.
WALKS = ((0.0, 0.0), (0.06, 0.06), (0.12, 0.12), (0.25, 0.12))
# Share of claims that keep to no law.
STRAY = 0.02


def law_shares(law: int, days: FloatArray, scale: FloatArray) -> FloatArray:
    """Share of claims reported within so many days: `law` of a logarithm of the middle delay `scale`, both alike in
    shape or broadcast."""
    if law < len(GAMMAS):
        shape = GAMMAS[law]
        return np.asarray(gammainc(shape, days * np.exp(-scale) * gammaincinv(shape, 0.5)))
    return np.asarray(ndtr((np.log(days) - scale) / LOGNORMALS[law - len(GAMMAS)]))


def within(law: int, days: FloatArray, scale: FloatArray, window: int) -> FloatArray:
    """The same, of those within `window` days, a few of them keeping to no law. Days from 0 count to their end."""
    seen = law_shares(law, days + 1.0, scale) / law_shares(law, np.array(window + 1.0), scale)
    return np.asarray((1.0 - STRAY) * seen + STRAY * (days + 1.0) / (window + 1.0)).clip(0.0, 1.0)


@dataclass(frozen=True)
class Record:
    """Claims by the thirty days in which their parcels were shipped, the latest first.

    lags, ages: claims by days until the report, and by the age that their parcels have reached, counted to the window:
    shape (blocks, window_days + 1).
    """

    lags: FloatArray
    ages: FloatArray

    @property
    def window(self) -> int:
        """Days that count."""
        return int(self.lags.shape[1]) - 1


def recorded(lags: IntArray, ages: IntArray, window_days: int) -> Record:
    """The record of claims: days until the report and age of the parcel of each, no lag above the age or the window."""
    block = np.minimum(ages // BLOCK_DAYS, MOST_BLOCKS - 1)
    blocks, size = int(block.max(initial=0)) + 1, window_days + 1

    def counted(days: IntArray) -> FloatArray:
        return np.bincount(block * size + days, minlength=blocks * size).reshape(blocks, size).astype(float)

    return Record(counted(lags), counted(np.minimum(ages, window_days)))


@dataclass(frozen=True)
class Delays:
    """What a record tells of delays: log likelihood of every law and scale in each block, (LAWS, blocks, scales)."""

    likelihoods: FloatArray

    @cached_property
    def filtered(self) -> list[list[tuple[FloatArray, float]]]:
        """By law and walk: chance of each scale in each block, by what it and older blocks tell, and the evidence."""
        return [[_filtered(likelihoods, walk) for walk in WALKS] for likelihoods in self.likelihoods]

    @cached_property
    def evidence(self) -> FloatArray:
        """Log likelihood of each law and walk, scales integrated out: shape (LAWS, walks)."""
        return np.array([[evidence for _, evidence in row] for row in self.filtered])

    @property
    def drift_p(self) -> float:
        """Chance of so much drift in the record, did the delays not drift: likelihood ratio of the walks, whose null
        value lies on the border (S. G. Self, K.-Y. Liang, Journal of the American Statistical Association 82 (1987),
        605-610, case 5)."""
        best = self.evidence.max(axis=0)
        ratio = 2.0 * (best[1:].max() - best[0])
        return float(0.5 * chi2.sf(ratio, 1)) if ratio > 0.0 else 1.0

    def drawn(self, rng: np.random.Generator, count: int) -> list[tuple[int, FloatArray]]:
        """Draws of a law and of its scale in each block, the latest first."""
        chance = softmax(self.evidence).ravel()
        taken = rng.choice(chance.size, count, p=chance / chance.sum())
        return [(at // len(WALKS), self._path(at // len(WALKS), at % len(WALKS), rng)) for at in taken.tolist()]

    def _path(self, law: int, walk: int, rng: np.random.Generator) -> FloatArray:
        forwards, step = self.filtered[law][walk][0], _step(*WALKS[walk])
        at = [rng.choice(forwards.shape[1], p=forwards[-1])]
        for chance in forwards[-2::-1]:
            back = chance * step[:, at[-1]]
            at.append(rng.choice(back.size, p=back / back.sum()))
        scale, trend = np.divmod(at, len(TRENDS)) if walk else (np.array(at), np.full(len(at), 2))
        return np.append(SCALES[scale[0]] + 0.5 * TRENDS[trend[0]], SCALES[scale])


def delays_of(record: Record) -> Delays:
    """What the record tells."""
    days = np.arange(record.window + 1.0)
    likelihoods = []
    for law in range(LAWS):
        shares = within(law, days[:, None], SCALES, record.window)
        chance = np.diff(shares, axis=0, prepend=0.0).clip(1e-12)
        likelihoods.append(record.lags @ np.log(chance) - record.ages @ np.log(shares))
    return Delays(np.array(likelihoods))


def _filtered(likelihoods: FloatArray, walk: tuple[float, float]) -> tuple[FloatArray, float]:
    chance, step, evidence = np.exp(-0.5 * ((SCALES - USUAL_SCALE) / UNSURE) ** 2), _step(*walk), 0.0
    if any(walk):
        likelihoods = np.repeat(likelihoods, len(TRENDS), axis=1)
        chance = np.outer(chance, np.exp(-0.5 * (TRENDS / walk[1]) ** 2)).ravel()
    seen: list[FloatArray] = []
    chance = chance / chance.sum()
    for block in likelihoods[::-1]:
        # Nothing is impossible: two blocks that contradict each other leave an unlikely path, not none.
        chance = (chance @ step if seen else chance).clip(1e-200) * np.exp(block - block.max())
        evidence += float(np.log(chance.sum()) + block.max())
        chance = chance / chance.sum()
        seen.append(chance)
    return np.array(seen), evidence


@cache
def _step(scale: float, trend: float) -> FloatArray:
    """Chance of each scale and trend after each other, thirty days later: rows before, columns after."""
    if scale == 0.0:
        return np.eye(SCALES.size)
    here, going = (each.ravel() for each in np.meshgrid(SCALES, TRENDS, indexing="ij"))
    apart = (here - here[:, None] - going[:, None]) / scale
    turned = (going - FADING * going[:, None]) / trend
    chance = np.exp(-0.5 * (apart**2 + turned**2))
    return np.asarray(chance / chance.sum(axis=1, keepdims=True).clip(1e-300))


def scales_at(ages: FloatArray, path: FloatArray) -> FloatArray:
    """The scale for parcels of each age, along a drawn path: what lies between the middles of blocks is between."""
    return np.interp(ages, np.append(0.0, (np.arange(path.size - 1) + 0.5) * BLOCK_DAYS), path)


def paths(draws: Sequence[tuple[int, FloatArray]], ages: FloatArray, window: int) -> FloatArray:
    """Share of claims reported of parcels of each age, by every draw: shape (draws, ages)."""
    return np.array([within(law, ages, scales_at(ages, path), window) for law, path in draws])
