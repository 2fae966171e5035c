"""Wilson's interval of a share, without a library: sheets and rates have the same one."""

import math
from statistics import NormalDist


def wilson(hits: float, trials: float, level: float = 0.95) -> tuple[float, float]:
    """The score interval of a share; from 0 to 1 where nothing was tried. Exposure may be any real number.

    E. B. Wilson, "Probable inference, the law of succession, and statistical inference", Journal of the American
    Statistical Association 22 (1927), 209-212.
    """
    if trials <= 0:
        return 0.0, 1.0
    z = NormalDist().inv_cdf((1 + level) / 2)
    middle = (hits + z * z / 2) / (trials + z * z)
    half = z / (trials + z * z) * math.sqrt(hits * (trials - hits) / trials + z * z / 4)
    return max(0.0, middle - half), min(1.0, middle + half)
