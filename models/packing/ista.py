"""Shape classes of parcels: long and flat ones are handled, and break, differently from the rest.

Source: ISTA, Procedure 3A (2018), package types small, flat, elongated and standard, in the inch form. Where a parcel
is both flat and elongated it counts as elongated.
"""

from __future__ import annotations

from models.packing.needed import Sides

SMALL_IN3, SMALL_LONGEST_IN, SMALL_LB = 800, 14, 10
FLAT_SHORTEST_IN, FLAT_RATIO = 8, 4
ELONGATED_IN, ELONGATED_SHARE = 36, 0.2
SHAPE_CLASSES = ("small", "flat", "elongated", "standard")


def shape_class(outside_in: Sides, weight_lb: float) -> str:
    """The parcel's shape class from its outside sides, in any order, and its weight."""
    shortest, middle, longest = sorted(outside_in)
    volume = shortest * middle * longest
    if longest >= ELONGATED_IN and middle <= ELONGATED_SHARE * longest:
        return "elongated"
    if shortest <= FLAT_SHORTEST_IN and middle >= FLAT_RATIO * shortest and volume >= SMALL_IN3:
        return "flat"
    if volume < SMALL_IN3 and longest <= SMALL_LONGEST_IN and weight_lb <= SMALL_LB:
        return "small"
    return "standard"
