"""Goods that were chosen for their bad record: what they had before is drawn towards the shop's other goods.

Whatever is changed because it was the worst of several gets better by itself, since chance helped to make it the worst
(F. Galton, "Regression towards mediocrity in hereditary stature", Journal of the Anthropological Institute 15 (1886),
246-263). A rate that is drawn towards its like, as far as all of them together say, is not misled by having been chosen
(B. Efron, "Tweedie's formula and selection bias", Journal of the American Statistical Association 106 (2011),
1602-1614).
"""

import numpy as np

from models.damage.arrays import BoolArray, FloatArray


def drawn_before(
    claims: FloatArray, exposure: FloatArray, chosen: BoolArray, prior: tuple[float, float]
) -> tuple[FloatArray, FloatArray]:
    """Claims and exposure before a change, by item type, as they count where the `chosen` ones were picked for theirs.

    The chosen ones gain the prior's claims and parcels; what they lose or gain by it against their own record is given
    to or taken from the others, so that the shop's claims stay as many. chosen: true or false. All shapes (types,).
    prior: alpha and beta of a beta distribution; it weighs at most as much as the other item types.
    """
    weight = min(1.0, float(exposure[~chosen].sum()) / sum(prior))
    alpha, parcels = weight * prior[0], weight * sum(prior)
    share = np.divide(exposure, exposure + parcels, out=np.zeros_like(exposure), where=exposure > 0)
    drawn = (claims + alpha) * share
    moved, rest = float((claims - drawn)[chosen].sum()), float(claims[~chosen].sum())
    others = claims * max((rest + moved) / rest, 0.0) if rest > 0 else claims
    return np.where(chosen, claims + alpha, others), np.where(chosen, exposure + parcels, exposure)
