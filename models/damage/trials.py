"""How many parcels a trial at the bench needs, and how long it takes to send them."""

import math

from models.damage.decision import parcels_per_arm

# So many more parcels than for one look at claims that vary by chance alone, so that looking at each month end, without
# knowing how much weeks vary, finds the difference as surely: the chance is 80 percent again, by sale or by week (by
# simulation: `python -m tests.benchmarks trials`).
FOR_MANY_LOOKS = 1.8
LONGEST_DAYS = 365
# Where the methods take turns by week, fewer weeks do not tell how much weeks vary (common practice, no source).
LEAST_WEEKS = 16


def parcels_needed(rate: float, expected_ratio: float) -> int | None:
    """Parcels of both methods together that show in four trials of five, looked at every month end, that the other
    method's damage rate is this share of the usual one; None where there is nothing to find."""
    each = parcels_per_arm(rate, min(rate * expected_ratio, 1.0))
    return None if each is None else 2 * math.ceil(FOR_MANY_LOOKS * each)


def days_needed(parcels: int, yearly_parcels: int) -> int | None:
    """Days until so many parcels are sent; None where none are sent."""
    return math.ceil(365 * parcels / yearly_parcels) if yearly_parcels > 0 else None
