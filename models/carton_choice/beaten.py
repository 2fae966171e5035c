"""Which offer of a carton beats which, where both hold the goods: none is rated that another one beats."""

import numpy as np
from numpy.typing import ArrayLike, NDArray


def beats(outside_in: ArrayLike, cents: ArrayLike, tare_lb: ArrayLike) -> NDArray[np.bool_]:
    """Whether the one beats the other (m x m): no larger on any side, no dearer, no heavier; of equal ones, the first.

    outside_in: m x 3, sides by their length. cents: m. tare_lb: m, not a number where none is stated: such an offer is
    held against its like only. Right where a smaller parcel never costs more in carriage.
    """
    tare = np.asarray(tare_lb, dtype=float)
    merits = np.column_stack([np.asarray(outside_in, dtype=float), np.asarray(cents, dtype=float), np.nan_to_num(tare)])
    found = np.isnan(tare)[:, None] == np.isnan(tare)
    strictly = np.triu(np.ones(found.shape, dtype=np.bool_), 1)
    for merit in merits.T:
        found &= merit[:, None] <= merit
        strictly |= merit[:, None] < merit
    return np.asarray(found & strictly)
