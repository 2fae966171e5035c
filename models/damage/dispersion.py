"""How much more claims vary than chance allows, from month to month, and what parcels therefore count for.

Parcels of a sale, a day or a batch share a fate. Their claims vary by more than their number, from small groups that
break together, and by a share of it, from whole months that were worse; both are told from every item type's months
around what the type and the month lead one to expect. Claims and parcels are then divided by the variance seen over
that expected, so that they tell as much as if each parcel broke by itself (J. N. K. Rao, A. J. Scott, "A simple method
for the analysis of clustered binary data", Biometrics 48 (1992), 577-585).
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import nnls

from models.damage.arrays import BoolArray, FloatArray

# Rounds in which item types and months are fitted in turns.
ROUNDS = 6
LEAST_EXPECTED = 1e-6


def design_effects(
    claims: FloatArray, exposure: FloatArray, is_after: BoolArray, *, months_alike: bool
) -> tuple[FloatArray, FloatArray]:
    """Variance over that of chance of each item type's claims after a change and before it: shapes (types,), one or
    more; one where the record does not show more.

    claims, exposure: by item type and month, shape (types, months). is_after: of each month, shape (months,).
    months_alike: whether what a month does to all item types alike counts for nothing, since it cancels.
    """
    expected = expected_claims(claims, exposure, is_after, months_alike=months_alike)
    apart, share = _more(claims, expected, _freedom(exposure, is_after, months_alike=months_alike))
    after, before = (expected[:, side] for side in (is_after, ~is_after))
    return tuple(1.0 + apart + share * _mean_size(each) for each in (after, before))  # type: ignore[return-value]


def _mean_size(expected: FloatArray) -> FloatArray:
    """Claims to be expected of the month of a claim, by item type."""
    return np.asarray((expected**2).sum(axis=1) / expected.sum(axis=1).clip(LEAST_EXPECTED))


def expected_claims(claims: FloatArray, exposure: FloatArray, is_after: BoolArray, *, months_alike: bool) -> FloatArray:
    """Claims to be expected by item type, side and month, fitted in turns to the sums of each (W. E. Deming,
    F. F. Stephan, Annals of Mathematical Statistics 11 (1940), 427-444)."""
    fitted = exposure.astype(float)
    for _ in range(ROUNDS if months_alike else 1):
        for side in (is_after, ~is_after):
            seen, sums = claims[:, side].sum(axis=1), fitted[:, side].sum(axis=1)
            fitted[:, side] *= (seen / sums.clip(LEAST_EXPECTED))[:, None]
        if months_alike:
            fitted = fitted * claims.sum(axis=0) / fitted.sum(axis=0).clip(LEAST_EXPECTED)
    return fitted


def _freedom(exposure: FloatArray, is_after: BoolArray, *, months_alike: bool) -> float:
    """Share of the cells that is left once what was fitted is taken off."""
    cells = int((exposure > 0).sum())
    fitted = sum(int((exposure[:, side] > 0).any(axis=1).sum()) for side in (is_after, ~is_after))
    if months_alike:
        fitted += int((exposure > 0).any(axis=0).sum()) - 1
    return max(cells - fitted, 0) / max(cells, 1)


def _more(claims: FloatArray, expected: FloatArray, freedom: float) -> tuple[float, float]:
    """How much more cells vary than chance allows: apart from their size, and by a share of it; none where that may be
    chance."""
    own = expected > LEAST_EXPECTED
    if not own.any() or freedom <= 0.0:
        return 0.0, 0.0
    size = expected[own]
    more = (claims[own] - size) ** 2 / size / freedom - 1.0
    weight = freedom / (2.0 + 1.0 / size)
    if (weight * more).sum() <= np.sqrt(weight.sum()):
        return 0.0, 0.0
    roots = np.sqrt(weight)
    (apart, share), _ = nnls(np.column_stack([roots, roots * size]), roots * more)
    return float(apart), float(share)
