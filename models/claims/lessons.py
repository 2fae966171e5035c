"""What a claim teaches: the parcel beside its like, whether that may be a pattern, and rules of thumb that it broke."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

from models.wilson import wilson

# One parcel in twenty groups looks so by chance; the sheet says so (common practice, no source).
PATTERN = 0.05
POWER = 0.8
# From here double-wall board is usual (common practice, no source).
DOUBLE_WALL_LB = 40.0
THUMB_RULES = CUSHIONING, BOARD, VALUE = "cushioning", "double-wall board", "declared value"


@dataclass(frozen=True)
class Lesson:
    """Damaged of parcels sent alike, and of others of the item type, with 95% intervals.

    chance: that as many or more would be damaged among those alike if they were no worse. settled_by: parcels of each
    kind that would tell rates as seen apart.
    """

    like: int
    like_damaged: int
    like_interval: tuple[float, float]
    other: int
    other_damaged: int
    chance: float | None
    settled_by: int | None

    @property
    def is_pattern(self) -> bool:
        """Whether chance alone would seldom do it."""
        return self.chance is not None and self.chance < PATTERN


def lesson(row: Mapping[str, Any]) -> Lesson | None:
    """From the counts of models/sql/claims/likes.sql; None where no parcel is known that was sent alike."""
    like, hit = int(row["like_count"]), int(row["like_damaged_count"])
    other, other_hit = int(row["other_count"]), int(row["other_damaged_count"])
    if like == 0:
        return None
    chance = at_least(hit, like, hit + other_hit, like + other) if other else None
    settled = needed(hit / like, other_hit / other) if other else None
    return Lesson(like, hit, wilson(hit, like), other, other_hit, chance, settled)


def at_least(hits: int, drawn: int, marked: int, whole: int) -> float:
    """Chance of at least so many marked ones among those drawn: Fisher's exact test, one-sided."""
    most = min(drawn, marked)
    ways = sum(math.comb(marked, each) * math.comb(whole - marked, drawn - each) for each in range(hits, most + 1))
    return ways / math.comb(whole, drawn)


def needed(one: float, other: float) -> int | None:
    """Parcels of each kind that tell two rates apart, at 5 % two-sided and a power of 80 %; None for like rates.

    J. L. Fleiss, "Statistical Methods for Rates and Proportions", 2nd edition (1981), section 3.2, without correction.
    """
    if one == other:
        return None
    alpha, beta = NormalDist().inv_cdf(1 - PATTERN / 2), NormalDist().inv_cdf(POWER)
    mean = (one + other) / 2
    spread = alpha * math.sqrt(2 * mean * (1 - mean)) + beta * math.sqrt(one * (1 - one) + other * (1 - other))
    return math.ceil((spread / (one - other)) ** 2)


def broken(parcel: Mapping[str, Any], goods: Sequence[Mapping[str, Any]], clearance_in: float | None) -> list[str]:
    """Which of THUMB_RULES the parcel broke, as far as the records say (common practice, no source)."""
    is_fragile = any(row["is_fragile"] for row in goods)
    found = []
    if is_fragile and clearance_in is not None and clearance_in < 2:
        found.append(CUSHIONING)
    if parcel["scale_weight_lb"] is not None and parcel["scale_weight_lb"] > DOUBLE_WALL_LB:
        found.append(BOARD)
    if is_fragile and parcel["declared_value_cents"] is None and parcel["insured_cents"] is None:
        found.append(VALUE)
    return found
