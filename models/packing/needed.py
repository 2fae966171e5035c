"""What goods need inside a carton: packed sides, clearance on every side, the ways they may be turned.

Clearance: each piece keeps `clearance_in` from every wall and from every other piece. Reckoned by adding one clearance
to each side of each piece (half of it on either side) and taking one clearance off each inside side of the carton.
For one piece this is the plain rule: inside >= side + 2 x clearance.

Sums of converted metric sides must not lose a fit to the last binary digit, so fits are reckoned in whole
micro-inches and a carton is taken to be SLACK_IN larger than stated: far below what a bench can measure.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations
from typing import Any

from models.columns.goods import TURNS
from models.errors import ContractError
from models.plain_rows import is_null

Sides = tuple[float, float, float]
Micro = tuple[int, int, int]

MICRO = 1_000_000
SLACK_IN = 0.0001
ASKED_AGAIN = 4_096  # answers kept: the same goods are asked about carton by carton


@dataclass(frozen=True, order=True)
class Bundle:
    """Pieces of one item type wrapped together, as one: sides in inches and how it may be turned.

    clearance_in: of a bundle learned from parcels, whose sides are the inside that held it, the clearance in there;
    None where the packed sides are stated.
    """

    bundled_count: int
    length_in: float
    width_in: float
    height_in: float
    turns: str = "any"
    clearance_in: float | None = None

    @property
    def sides_in(self) -> Sides:
        return (self.length_in, self.width_in, self.height_in)


@dataclass(frozen=True, order=True)
class PackedItem:
    """One piece of an item type as it is packed: sides in inches, wrapped.

    turns: "any"; "flat", shortest side vertical; "upright", the stated height stays vertical; "not on end", the longest
    side never vertical; else the sides that may be vertical, such as "height or width".
    may_lie_under: whether other goods may lie on it. bundles: several pieces of it wrapped together.
    """

    item_type: str
    length_in: float
    width_in: float
    height_in: float
    turns: str = "any"
    may_lie_under: bool = True
    bundles: tuple[Bundle, ...] = ()

    def __post_init__(self) -> None:
        if not all(0 < side < float("inf") for side in self.sides_in):
            raise _unusable(self.item_type, "a packed side is missing or not above zero")
        if self.turns not in TURNS:
            raise _unusable(self.item_type, f"turns is {self.turns!r}, not one of {', '.join(TURNS)}")

    @property
    def sides_in(self) -> Sides:
        return (self.length_in, self.width_in, self.height_in)


def _unusable(item_type: str, what: str) -> ContractError:
    return ContractError("item_types", f"{item_type}: {what}", "every carton choice for it", "correct item_types")


def packed_item(row: Mapping[str, Any], bundles: Iterable[Bundle] = ()) -> PackedItem:
    """The piece that a row of `item_types` describes. Where `may_lie_under` is unknown, only fragile goods may not."""
    stated, fragile = row.get("may_lie_under"), row.get("is_fragile")
    may_lie_under = (is_null(fragile) or not fragile) if is_null(stated) else bool(stated)
    length, width, height = (float(row[side]) for side in ("length_in", "width_in", "height_in"))
    turns, together = str(row["turns"]), tuple(sorted(bundles, key=_by_count))
    return PackedItem(str(row["item_type"]), length, width, height, turns, may_lie_under, together)


def _by_count(bundle: Bundle) -> tuple[int, Sides]:
    return (bundle.bundled_count, bundle.sides_in)


@dataclass(frozen=True)
class Contents:
    """What lies in one parcel: pieces with quantities, merged and in order, and the packing method's clearance.

    Equal contents are equal and hash alike, however they were listed. Build it by `contents`.
    """

    lines: tuple[tuple[PackedItem, int], ...]
    clearance_in: float = 0.0

    @property
    def pieces(self) -> tuple[PackedItem, ...]:
        """Every single piece, in the order of the lines."""
        return tuple(item for item, quantity in self.lines for _ in range(quantity))

    @property
    def volume_in3(self) -> float:
        """Volume of the goods alone, without clearance."""
        return sum(q * item.length_in * item.width_in * item.height_in for item, q in self.lines)


def contents(lines: Iterable[tuple[PackedItem, int]], clearance_in: float = 0.0) -> Contents:
    """Contents from (item, quantity) lines in any order; the same item on two lines is added up.

    Raises ContractError where nothing is packed, a quantity is below one or the clearance is negative.
    """
    quantities: Counter[PackedItem] = Counter()
    for item, quantity in lines:
        if quantity < 1:
            raise _unusable(item.item_type, f"quantity {quantity} is below one")
        quantities[item] += quantity
    if not quantities or not 0 <= clearance_in < float("inf"):
        raise ContractError("parcel contents", "no goods or no usable clearance", "this parcel", "correct weights")
    return Contents(tuple(sorted(quantities.items())), clearance_in)


@lru_cache(maxsize=ASKED_AGAIN)
def stands(sides_in: Sides, turns: str) -> tuple[Sides, ...]:
    """The ways a piece may stand, as (along the carton's length, along its width, vertical), without repeats."""
    ways = {(length, width, height) for length, width, height in permutations(sides_in)}
    upward = verticals(sides_in, turns)
    return tuple(sorted(way for way in ways if way[2] in upward))


def verticals(sides_in: Sides, turns: str) -> frozenset[float]:
    """The sides that may be vertical. Of a cube that must not stand on end any may: it has no end."""
    if turns == "flat":
        return frozenset((min(sides_in),))
    if turns == "not on end":
        return frozenset(side for side in sides_in if side < max(sides_in)) or frozenset(sides_in)
    named = dict(zip(("length", "width", "height"), sides_in, strict=True))
    stated = {"any": tuple(named), "upright": ("height",)}.get(turns) or turns.split(" or ")
    return frozenset(named[side] for side in stated)


def needed_sizes(item: PackedItem, clearance_in: float = 0.0) -> tuple[Sides, ...]:
    """Least insides (length, width, height) in inches for one piece, length >= width; height is vertical, lowest first.

    One for each side that may be vertical. Goods that may turn any way have one: the shortest side stands vertical.
    """
    upward = sorted(verticals(item.sides_in, item.turns))
    return tuple(
        _inside(item.sides_in, side, 2 * clearance_in) for side in (upward[:1] if item.turns == "any" else upward)
    )


def _inside(sides_in: Sides, vertical: float, margin: float) -> Sides:
    base = list(sides_in)
    base.remove(vertical)
    return (max(base) + margin, min(base) + margin, vertical + margin)


def grown(sides_in: Sides, by_in: float) -> Micro:
    """Sides made longer by a length (shorter, where it is negative), in whole micro-inches."""
    length, width, height = (round((side + by_in) * MICRO) for side in sides_in)
    return (length, width, height)


@dataclass(frozen=True, order=True)
class Piece:
    """A piece as the solvers see it: the ways it may stand in micro-inches with clearance added, and what it bears."""

    ways: tuple[Micro, ...]
    bears: bool

    @property
    def volume(self) -> float:
        """That of its least way; all are equal unless its sides were raised (`lifted`)."""
        return min(float(length) * width * height for length, width, height in self.ways)


@lru_cache(maxsize=ASKED_AGAIN)
def piece(item: PackedItem, clearance_in: float) -> Piece:
    """The solvers' view of an item."""
    ways = {grown(way, clearance_in) for way in stands(item.sides_in, item.turns)}
    return Piece(tuple(sorted(ways)), item.may_lie_under)


@lru_cache(maxsize=ASKED_AGAIN)
def shape(packed: Contents) -> tuple[tuple[Piece, int], ...]:
    """Contents by geometry alone, largest piece first: item types of the same sides, turns and bearing are one."""
    quantities: Counter[Piece] = Counter()
    for item, quantity in packed.lines:
        quantities[piece(item, packed.clearance_in)] += quantity
    return tuple(sorted(quantities.items(), key=lambda line: (-line[0].volume, line[0])))


def room(inside_in: Sides, clearance_in: float) -> Micro:
    """The space for pieces grown by the clearance: the inside less one clearance on each axis, in micro-inches."""
    return grown(inside_in, SLACK_IN - clearance_in)
