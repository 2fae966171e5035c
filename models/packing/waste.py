"""How much of a room must stay empty beside a piece or a block, whatever lies there.

A straight line through a block, along one axis, meets only whole pieces besides it. What they cover is a sum of sides
that pieces may have along that axis; where no such sum fills the length that the block leaves, the difference stays
empty all over the block's face. The three regions straight beside a block do not overlap, so what stays empty in them
adds up, and a block for which that is more than the room has to spare is in no arrangement. Such sums of sides are the
normal patterns of J. C. Herz, "Recursive computational procedure for two-dimensional stock cutting", IBM Journal of
Research and Development 16 (1972).
"""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from models.packing.needed import Micro, Piece

Rows = NDArray[np.int64]
Volumes = NDArray[np.float64]
Ways = Sequence[tuple[Micro, ...]]
Sides = tuple[tuple[int, ...], ...]

# Sums along one axis; with more of them hardly a length is left that none fills, and none is looked for.
MOST_SUMS = 400
# Volumes are compared with a hair to spare, so that no rounding calls a full room too small.
ROUNDING = 1e-9
# Answers kept: a few kilobytes each.
ASKED_AGAIN = 2_048


def spare_volume(pieces: Sequence[Piece], room: Micro) -> float:
    """Volume of the room that the pieces leave empty, with a hair for rounding."""
    return float(room[0]) * room[1] * room[2] * (1 + ROUNDING) - sum(piece.volume for piece in pieces)


class Lanes:
    """What can be filled along each axis of a room by pieces that may stand in these ways."""

    def __init__(self, ways: Ways, room: Micro) -> None:
        self.room = room
        self._sums = [_sums(ways, axis, room[axis]) for axis in range(3)]

    def waste(self, sizes: Rows) -> Volumes:
        """Volume that stays empty straight beside blocks of these sizes (rows, 3), along the three axes together."""
        exact = sizes.astype(np.float64)
        faces = (exact[:, 1] * exact[:, 2], exact[:, 0] * exact[:, 2], exact[:, 0] * exact[:, 1])
        gaps = (self._gaps(axis, self.room[axis] - sizes[:, axis]) for axis in range(3))
        empty: Volumes = np.sum([gap * face for gap, face in zip(gaps, faces, strict=True)], axis=0)
        return empty

    def _gaps(self, axis: int, lengths: Rows) -> Rows:
        """Of each length what no sum of sides fills; lengths are not below zero."""
        sums = self._sums[axis]
        if sums is None:
            return np.zeros_like(lengths)
        return lengths - sums[np.searchsorted(sums, lengths, side="right") - 1]


def _sums(ways: Ways, axis: int, most: int) -> Rows | None:
    """Sums of sides along the axis within `most`, each piece at most once, rising; None where they are too many."""
    return _rising(tuple(tuple(sorted({way[axis] for way in each})) for each in ways), most)


@lru_cache(maxsize=ASKED_AGAIN)
def _rising(sides: Sides, most: int) -> Rows | None:
    sums = _sums_of(sides, most)
    return None if sums is None else np.array(sorted(sums), dtype=np.int64)


@lru_cache(maxsize=ASKED_AGAIN)
def _sums_of(sides: Sides, most: int) -> frozenset[int] | None:
    """The same, unordered; sides: of each piece. A search settles the first pieces first, so that sums of these are
    asked for again and again."""
    if not sides:
        return frozenset((0,))
    before = _sums_of(sides[:-1], most)
    if before is None:
        return None
    sums = before.union(*({so_far + side for so_far in before if so_far + side <= most} for side in sides[-1]))
    return None if len(sums) > MOST_SUMS else sums


def narrowed(ways: Ways, room: Micro, spare: float) -> list[tuple[Micro, ...]]:
    """The ways in which each piece may stand without more waste than there is to spare; none left is a proof.

    Each way that goes may leave a sum of sides out, so it is asked again until nothing changes. ways: each within the
    room. Where one piece has no way left the others are not looked at further.
    """
    while True:
        kept = _kept(ways, Lanes(ways, room), spare)
        if not all(kept) or sum(map(len, kept)) == sum(map(len, ways)):
            return kept
        ways = kept


def _kept(ways: Ways, lanes: Lanes, spare: float) -> list[tuple[Micro, ...]]:
    every = np.array([way for each in ways for way in each], dtype=np.int64).reshape(-1, 3)
    volume = every.astype(np.float64).prod(axis=1)
    counts = np.array([len(each) for each in ways])
    least = np.repeat(np.minimum.reduceat(volume, counts.cumsum() - counts), counts)
    # Raised sides may make a piece take more in one way than in another; what is to spare is reckoned by the least.
    enough = iter((lanes.waste(every) + (volume - least) <= spare).tolist())
    return [tuple(way for way in each if next(enough)) for each in ways]
