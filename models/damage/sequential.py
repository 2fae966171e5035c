"""Limits for a figure that is looked at again and again, with one error over all looks.

The error is spent as time goes by (K. K. G. Lan, D. L. DeMets, "Discrete sequential boundaries for clinical trials",
Biometrika 70 (1983), 659-663; by calendar time: "Group sequential procedures: calendar versus information time",
Statistics in Medicine 8 (1989), 1191-1198). What may be spent at a look follows from the chance that no earlier look
has ended it, integrated from look to look (P. Armitage, C. K. McPherson, B. C. Rowe, "Repeated significance tests on
accumulating data", Journal of the Royal Statistical Society A 132 (1969), 235-244). An estimate with limits so wide is
a repeated confidence interval: all of them together hold the truth (C. Jennison, B. W. Turnbull, "Interim analyses:
the repeated confidence interval approach", Journal of the Royal Statistical Society B 51 (1989), 305-361).
"""

from functools import cache

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtr

from models.damage.arrays import FloatArray

# A look that adds less to what is known, as a share of it, is passed over: it could tell nothing new.
LEAST_GAIN = 0.01
# Beyond so many standard deviations there is nothing left to add up.
FAR = 7.0
NODES_PER_STEP, NODES = 2.5, (24, 48, 96, 192)
SQRT_TWO_PI = float(np.sqrt(2.0 * np.pi))


def spent(time: FloatArray, error: float) -> FloatArray:
    """Error that may be spent by each time, a share of the whole from 0 to 1, shape (looks,): Lan and DeMets' function
    of Pocock's type, which leaves about as much for an early look as for a late one."""
    return np.asarray(error * np.log1p((np.e - 1.0) * time.clip(0.0, 1.0)))


def bounds(information: FloatArray, spent_low: FloatArray, spent_high: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Limits of a standardised figure at each look: with nothing there, it falls below the lower or rises above the
    upper ones with the chances spent.

    information: one over the estimate's variance at each look, never falling, shape (looks,). spent_low, spent_high:
    error spent on each side by then, likewise. A look that adds hardly any information, or to which nothing is left
    to spend, has an infinite limit; what it leaves is spent by the next. Shapes (looks,) out.
    """
    low, high = np.full(information.size, -np.inf), np.full(information.size, np.inf)
    places, chances, known, paid = np.zeros(1), np.ones(1), 0.0, np.zeros(2)
    for look, (now, *allowed) in enumerate(zip(information, spent_low, spent_high, strict=True)):
        if now - known <= LEAST_GAIN * now:
            continue
        reach, step = float(np.sqrt(now)), float(np.sqrt(now - known))
        left = np.maximum(np.array(allowed) - paid, 0.0)
        sides = (-_above(-places, chances, step, reach, left[0]), _above(places, chances, step, reach, left[1]))
        low[look], high[look] = (side / reach for side in sides)
        places, chances = _inside(places, chances, step, *np.clip(sides, -FAR * reach, FAR * reach))
        known, paid = float(now), paid + left
    return low, high


def _above(places: FloatArray, chances: FloatArray, step: float, reach: float, error: float) -> float:
    """The sum above which the next look finds it with that chance, from where it stood; infinite for no chance."""

    def surplus(limit: float) -> float:
        return float(chances @ ndtr((places - limit) / step)) - error

    highest = FAR * reach
    return float(brentq(surplus, -highest, highest)) if surplus(highest) < 0.0 < surplus(-highest) else np.inf


def _inside(
    places: FloatArray, chances: FloatArray, step: float, low: float, high: float
) -> tuple[FloatArray, FloatArray]:
    """Where the sum stands at the next look, between the limits, and the chance of each place."""
    wanted = NODES_PER_STEP * (high - low) / step
    nodes, weights = _points(next((count for count in NODES if count >= wanted), NODES[-1]))
    half = (high - low) / 2.0
    there = low + half * (nodes + 1.0)
    density = np.exp(-0.5 * ((there[:, None] - places[None, :]) / step) ** 2) @ chances / (step * SQRT_TWO_PI)
    return there, half * weights * density


@cache
def _points(count: int) -> tuple[FloatArray, FloatArray]:
    return np.polynomial.legendre.leggauss(count)
