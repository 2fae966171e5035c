"""Whether two packing methods can be told from what went with them: a carrier, a service, a month."""

from collections.abc import Sequence

import pandas as pd

from models.damage.arrays import floats

# Where less than half of the comparison is left once a carrier is held alike, the carrier went with the method (common
# practice, no source).
LEAST_LEFT = 0.5


def share_left(cells: pd.DataFrame, methods: Sequence[str], within: Sequence[str], factor: str) -> float:
    """How much of a comparison within strata is left where the factor is held alike too: 1 where both methods are mixed
    in every level of it, 0 where every level has one of them only.

    Weights are those of Mantel and Haenszel, n_a n_b / n for a stratum. The share is of what would be left if the
    parcels of each stratum had been dealt to the methods by chance, so that many small levels count for nothing. cells:
    parcel_count by packing_method, the columns of `within` and the factor. 1 where too few share a level to tell.
    """
    rows = cells[cells["packing_method"].isin(methods)]
    counts = rows.pivot_table("parcel_count", [*within, factor], "packing_method", "sum", fill_value=0)
    counts = counts.reindex(columns=list(methods), fill_value=0)
    whole = counts.groupby(level=list(range(len(within)))).transform("sum")
    a, b = (floats(counts[method]) for method in methods)
    share = floats(whole[methods[0]] / whole.sum(axis=1))
    left = (a * b / (a + b)).sum()
    dealt = (share * (1 - share) * (a + b - 1)).sum()
    return float(left / dealt) if dealt > 0 else 1.0
