"""An amount that is not known yet: what is expected, and draws of what it may be."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from models.damage.arrays import FloatArray

DRAWS = 2_000
LEVEL = 0.80


@dataclass(frozen=True)
class Drawn:
    """mean: cents expected, whole. draws: cents, shape (DRAWS,)."""

    mean: int
    draws: FloatArray

    def __add__(self, other: Drawn) -> Drawn:
        return Drawn(self.mean + other.mean, self.draws + other.draws)

    def __sub__(self, other: Drawn) -> Drawn:
        return Drawn(self.mean - other.mean, self.draws - other.draws)

    def limits(self) -> tuple[int, int]:
        """Between them lies the amount with a chance of LEVEL; the mean lies between them, too."""
        tail = (1.0 - LEVEL) / 2.0
        low, high = np.quantile(self.draws, [tail, 1.0 - tail])
        return min(round(float(low)), self.mean), max(round(float(high)), self.mean)


def known(cents: float) -> Drawn:
    """An amount that is known."""
    return Drawn(round(cents), np.full(DRAWS, float(round(cents))))


NOTHING = known(0)


def normal(mean: float, variance: float, rng: np.random.Generator) -> Drawn:
    """An amount with a normal spread around its mean."""
    return Drawn(round(mean), mean + np.sqrt(max(variance, 0.0)) * rng.standard_normal(DRAWS))
