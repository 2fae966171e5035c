"""How much more claims vary than chance allows, from month to month or week to week, and what parcels then count for.

Parcels of a sale, a day or a batch share a fate. Their claims vary by more than their number, from small groups that
break together, and by a share of it, from whole months that were worse; both are known from the claims of every cell
around what its side of the comparison and its time lead one to expect. Claims and parcels are then divided by the
variance seen over that expected, so that they tell as much as if each parcel broke by itself (J. N. K. Rao, A. J.
Scott, "A simple method for the analysis of clustered binary data", Biometrics 48 (1992), 577-585).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import nnls

from models.damage.arrays import FloatArray, IntArray, sums

# Rounds in which sides and times are fitted in turns.
ROUNDS = 6
LEAST_EXPECTED = 1e-6


@dataclass(frozen=True)
class Dispersion:
    """effects: variance over that of chance of each side's claims, shape (sides,), one or more; one where the record
    does not show more. freedom: degrees of freedom from which it is known."""

    effects: FloatArray
    freedom: float

    @property
    def freedom_of_error(self) -> float:
        """Degrees of freedom of an error that these effects enter: without end where chance alone is reckoned with."""
        return self.freedom if (self.effects > 1.0).any() else np.inf


def dispersion(claims: FloatArray, exposure: FloatArray, sides: IntArray, *times: IntArray) -> Dispersion:
    """How much more each side's claims vary than chance allows.

    claims, exposure: of each cell, whose parcels share a fate: a month, or a week. sides: number from 0 of what is
    compared, as goods after a change. times: number from 0 of the month, where what it does to all sides alike cancels
    and so counts for nothing. All of shape (cells,).
    """
    groups, count = (sides, *times), _count(sides)
    expected = expected_claims(claims, exposure, groups)
    apart, share, freedom = _more(claims, expected, _freedom(exposure, groups))
    # Claims to be expected of the cell of a claim.
    size = sums(sides, expected**2, count) / sums(sides, expected, count).clip(LEAST_EXPECTED)
    return Dispersion(np.asarray(1.0 + apart + share * size), freedom)


def expected_claims(claims: FloatArray, exposure: FloatArray, groups: Sequence[IntArray]) -> FloatArray:
    """Claims to be expected of each cell, fitted in turns to the sums of each group (W. E. Deming, F. F. Stephan,
    Annals of Mathematical Statistics 11 (1940), 427-444)."""
    fitted = exposure.astype(float)
    for _ in range(ROUNDS if len(groups) > 1 else 1):
        for group in groups:
            seen, sum_fitted = (sums(group, each, _count(group)) for each in (claims, fitted))
            fitted = fitted * (seen / sum_fitted.clip(LEAST_EXPECTED))[group]
    return fitted


def _freedom(exposure: FloatArray, groups: Sequence[IntArray]) -> float:
    """Share of the cells that is left once what was fitted is taken off."""
    own = exposure > 0
    fitted = sum(np.unique(group[own]).size for group in groups) - (len(groups) - 1)
    return max(int(own.sum()) - fitted, 0) / max(int(own.sum()), 1)


def _count(group: IntArray) -> int:
    return int(group.max(initial=-1)) + 1


def _more(claims: FloatArray, expected: FloatArray, freedom: float) -> tuple[float, float, float]:
    """How much more cells vary than chance allows: apart from their size, and by a share of it; and from how many
    degrees of freedom that is known from."""
    own = expected > LEAST_EXPECTED
    if not own.any() or freedom <= 0.0:
        return 0.0, 0.0, 0.0
    size = expected[own]
    more = (claims[own] - size) ** 2 / size / freedom - 1.0
    roots = np.sqrt(freedom / (2.0 + 1.0 / size))
    (apart, share), _ = nnls(np.column_stack([roots, roots * size]), roots * more)
    # A square over its mean varies by 2 and by what one group that breaks together adds to so few of them.
    freedoms = freedom / (1.0 + 0.5 * (1.0 + apart) / size)
    return float(apart), float(share), float(freedoms.sum())
