"""Where each piece lies in the carton, an independent check of it, and the same as a list for the packing bench.

The check knows nothing of how a placement was found: it works in inches on the sides of the goods and of the carton,
with the clearance as it is stated, and is what every answer "fits" stands on.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from models.packing.needed import SLACK_IN, Contents, PackedItem, Sides, stands
from models.shop_units import LENGTH, Units

# A piece may stand out by the slack a carton is given and by rounding to micro-inches, no more.
TOLERANCE_IN = 2 * SLACK_IN
AXES = ("length", "width", "height")


@dataclass(frozen=True)
class Placement:
    """One piece in its place: inches from the carton's left, front and bottom, and sides along the same axes."""

    item: PackedItem
    left_in: float
    front_in: float
    bottom_in: float
    sides_in: Sides

    @property
    def start_in(self) -> Sides:
        return (self.left_in, self.front_in, self.bottom_in)

    @property
    def end_in(self) -> Sides:
        left, front, bottom = (start + side for start, side in zip(self.start_in, self.sides_in, strict=True))
        return (left, front, bottom)


def faults(placements: Sequence[Placement], packed: Contents, inside_in: Sides) -> list[str]:
    """What is wrong with a placement of the contents in a carton of these inside sides; empty when it holds.

    Checked: every piece is there once; each stands as it may; each keeps the clearance from every wall and from every
    other piece; nothing lies above a piece that may not lie under others, at whatever height.
    """
    margin = packed.clearance_in - TOLERANCE_IN
    found = [] if _are_all_there(placements, packed) else ["the pieces placed are not the pieces packed"]
    for number, placed in enumerate(placements, start=1):
        found += [f"piece {number}: {fault}" for fault in _faults_alone(placed, inside_in, margin)]
        for other_number, other in enumerate(placements[number:], start=number + 1):
            found += [f"pieces {number} and {other_number}: {fault}" for fault in _faults_of_two(placed, other, margin)]
    return found


def _are_all_there(placements: Sequence[Placement], packed: Contents) -> bool:
    return Counter(placed.item for placed in placements) == Counter(packed.pieces)


def _faults_alone(placed: Placement, inside_in: Sides, margin: float) -> list[str]:
    walls = zip(AXES, placed.start_in, placed.end_in, inside_in, strict=True)
    found = [
        f"too near a wall along the {axis}" for axis, start, end, inside in walls if _strays(start, end, inside, margin)
    ]
    if not any(_is_same(placed.sides_in, way) for way in stands(placed.item.sides_in, placed.item.turns)):
        found.append(f"turned in a way that {placed.item.turns!r} does not allow")
    return found


def _strays(start: float, end: float, inside: float, margin: float) -> bool:
    return start < margin or end > inside - margin


def _is_same(sides_in: Sides, way: Sides) -> bool:
    return all(abs(side - other) <= TOLERANCE_IN for side, other in zip(sides_in, way, strict=True))


def _faults_of_two(one: Placement, two: Placement, margin: float) -> list[str]:
    gaps = [_gap(one, two, axis) for axis in range(3)]
    found = [] if max(gaps) >= margin else ["closer than the clearance"]
    lower, upper = (one, two) if one.bottom_in <= two.bottom_in else (two, one)
    # Two pieces stand clear of each other only when a gap shows from above.
    if max(gaps[:2]) < margin and upper.bottom_in > lower.bottom_in and not lower.item.may_lie_under:
        found.append(f"something lies above {lower.item.item_type}")
    return found


def _gap(one: Placement, two: Placement, axis: int) -> float:
    """Free length between two pieces along one axis; negative where they overlap on it."""
    return max(two.start_in[axis] - one.end_in[axis], one.start_in[axis] - two.end_in[axis])


def in_packing_order(placements: Sequence[Placement]) -> list[Placement]:
    """Lowest pieces first, of one height those in front first, of these the left ones."""
    return sorted(placements, key=lambda placed: (placed.bottom_in, placed.front_in, placed.left_in))


def packing_list(placements: Sequence[Placement], units: Units) -> list[str]:
    """The placement as lines to pack by, lowest pieces first.

    "1. tripod: 44 x 6 x 6 in at left, front, bottom": sides along the carton's length, width and height.
    """
    in_order = enumerate(in_packing_order(placements), start=1)
    return [f"{number}. {_line(placed, placements, units)}" for number, placed in in_order]


def _line(placed: Placement, placements: Sequence[Placement], units: Units) -> str:
    sides = units.measured(LENGTH, *placed.sides_in)
    return f"{placed.item.item_type}: {sides} at {place_in_words(placed, placements, units)}"


def place_in_words(placed: Placement, placements: Sequence[Placement], units: Units) -> str:
    """A piece's place along length, width and height: the wall it is nearest to, else its distance."""
    walls = (("left", "right"), ("front", "back"), ("bottom", "top"))
    return ", ".join(
        _place(placed, placements, axis, words) or _away(placed.start_in[axis], words[0], units)
        for axis, words in enumerate(walls)
    )


def _place(placed: Placement, placements: Sequence[Placement], axis: int, words: tuple[str, str]) -> str:
    """The wall that the piece is nearest to; empty where it is no piece at a wall."""
    start, end = placed.start_in[axis], placed.end_in[axis]
    first = min(other.start_in[axis] for other in placements)
    last = max(other.end_in[axis] for other in placements)
    if start <= first + TOLERANCE_IN:
        return words[0]
    if end >= last - TOLERANCE_IN:
        return words[1]
    return ""


def _away(start_in: float, wall: str, units: Units) -> str:
    return f"{units.measured(LENGTH, start_in)} from the {wall}"
