"""How low stock may fall before an order must go out: use over the lead time, and a reserve at a service level."""

from math import ceil, sqrt

import numpy as np
from numpy.typing import NDArray
from scipy.special import betainc, pdtr

# Far above any quantile that a service level below 1 - 1e-4 asks for: standard deviations, and pieces beside them.
FAR, BESIDE = 12.0, 40


def reorder_level(mean: float, dispersion: float, service_level: float) -> int:
    """The fewest pieces that last over the lead time with the chance service_level.

    mean: pieces expected to be used until delivery. dispersion: variance over mean; 1 is a Poisson count, more a
    negative binomial one of the same mean (a sum of weeks that vary so varies so too).
    """
    if mean <= 0:
        return 0
    counts = np.arange(ceil(mean + FAR * sqrt(dispersion * mean)) + BESIDE + ceil(BESIDE * dispersion))
    chance = np.asarray(pdtr(counts, mean)) if dispersion <= 1 else _negative_binomial(counts, mean, dispersion)
    return min(int(np.searchsorted(chance, service_level)), len(counts) - 1)


def _negative_binomial(counts: NDArray[np.int64], mean: float, dispersion: float) -> NDArray[np.float64]:
    """Chance of at most so many: r failures awaited, each with the chance 1 / dispersion."""
    return np.asarray(betainc(mean / (dispersion - 1), counts + 1.0, 1 / dispersion))
