"""The least rooms that a set of pieces can be built into by joining blocks face to face.

Pieces are joined to blocks, blocks to larger blocks, each time side by side along one axis; of the blocks that hold
the same pieces only those are kept that no other is within (a Pareto front). Every row of a front is a placement, so
one front answers "fits" for every carton and every cut height at once. A missing row proves nothing: arrangements
that cannot be built by such joins exist, and a front is capped; `search` settles those.

In the sense of the cutting-stock literature these are the guillotine arrangements: P. C. Gilmore and R. E. Gomory,
"Multistage cutting stock problems of two and more dimensions", Operations Research 13 (1965).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product

import numpy as np
from numpy.typing import NDArray

from models.packing.needed import Micro, Piece

Rows = NDArray[np.int64]
Kinds = list[tuple["Front", int]]
# (piece number among the lines, start, way it stands)
Placed = tuple[int, Micro, Micro]

# Pairs of sets that are joined at most; a question with more is asked of fewer, larger sets.
MOST_JOINS = 3_500
# Rows looked at together; any number gives the same answer.
LOT = 2_048
NOTHING: Rows = np.zeros((0, 7), dtype=np.int64)


@dataclass
class Front:
    """Blocks that hold the same pieces: sizes (rows, 3) in micro-inches and how each was joined.

    joins: columns are the axis, the number of the pair of fronts, the row of its first and of its second front.
    line: the number of the piece where the front is one single piece.
    """

    sizes: Rows
    volume: float
    bears: bool
    line: int = -1
    pairs: list[tuple[Front, Front]] = field(default_factory=list)
    joins: Rows = field(default_factory=lambda: np.zeros((0, 4), dtype=np.int64))

    def placed(self, row: int, at: Micro = (0, 0, 0)) -> Iterator[Placed]:
        """The pieces of one block and where they lie."""
        if self.line >= 0:
            yield self.line, at, _triple(self.sizes[row])
            return
        axis, pair, first_row, second_row = (int(value) for value in self.joins[row])
        first, second = self.pairs[pair]
        near, near_row, far, far_row = first, first_row, second, second_row
        # What nothing may lie on goes on top.
        if axis == 2 and not first.bears:
            near, near_row, far, far_row = second, second_row, first, first_row
        yield from near.placed(near_row, at)
        yield from far.placed(far_row, _moved(at, axis, int(near.sizes[near_row, axis])))


def _triple(row: Rows) -> Micro:
    return (int(row[0]), int(row[1]), int(row[2]))


def _moved(at: Micro, axis: int, by: int) -> Micro:
    moved = list(at)
    moved[axis] += by
    return (moved[0], moved[1], moved[2])


def front(lines: Sequence[tuple[Piece, int]], limit: Micro, cap: int) -> Front:
    """The least blocks of all the pieces within the limit, at most `cap` of them, smallest volume first.

    lines: (piece, quantity). limit: the largest room asked about. An empty front means that none was found.
    """
    builder = _Builder(limit, _spare(lines, limit), cap)
    kinds = [(builder.single(number, piece), quantity) for number, (piece, quantity) in enumerate(lines)]
    while _joins(kinds) > MOST_JOINS:
        kinds = _coarsened(kinds, builder)
    return builder.all_of(kinds)


def _spare(lines: Sequence[tuple[Piece, int]], limit: Micro) -> float:
    """Volume of the limit that the pieces leave empty, with a hair for rounding."""
    whole = float(limit[0]) * limit[1] * limit[2]
    return whole * (1 + 1e-9) - sum(piece.volume * quantity for piece, quantity in lines)


def _joins(kinds: Kinds) -> int:
    """How many pairs of part-sets there are to join."""
    ways = 1
    for _, quantity in kinds:
        ways *= (quantity + 1) * (quantity + 2) // 2
    return ways // 2


def _coarsened(kinds: Kinds, builder: _Builder) -> Kinds:
    """Fewer, larger kinds: pieces of the commonest kind in twos, else the two smallest kinds as one."""
    kinds = sorted(kinds, key=lambda kind: (-kind[1], kind[0].volume))
    (commonest, quantity), rest = kinds[0], kinds[1:]
    if quantity > 1:
        twos = [(builder.joined([(commonest, commonest)]), quantity // 2)]
        return twos + ([(commonest, 1)] if quantity % 2 else []) + rest
    return [(builder.joined([(kinds[0][0], kinds[1][0])]), 1), *kinds[2:]]


@dataclass
class _Builder:
    limit: Micro
    spare: float
    cap: int

    def single(self, line: int, piece: Piece) -> Front:
        sizes = np.array(piece.ways, dtype=np.int64)
        return Front(sizes[(sizes <= self.limit).all(axis=1)], piece.volume, piece.bears, line)

    def all_of(self, kinds: Kinds) -> Front:
        """The front of all kinds together, from the fronts of every smaller set of them."""
        whole = tuple(quantity for _, quantity in kinds)
        fronts: dict[tuple[int, ...], Front] = {}
        for part in sorted(product(*(range(quantity + 1) for quantity in whole)), key=sum):
            if sum(part) == 1:
                fronts[part] = kinds[part.index(1)][0]
            elif sum(part) > 1:
                fronts[part] = self.joined([(fronts[one], fronts[two]) for one, two in _halves(part)])
        return fronts[whole]

    def joined(self, pairs: list[tuple[Front, Front]]) -> Front:
        """The least blocks over all pairs of fronts, each pair joined along each axis."""
        one, two = pairs[0]
        volume = one.volume + two.volume
        usable = ((number, pair) for number, pair in enumerate(pairs) if len(pair[0].sizes) and len(pair[1].sizes))
        blocks = (self._blocks(pair, number, volume) for number, pair in usable)
        every = np.concatenate([NOTHING, *(rows for of_pair in blocks for rows in of_pair)])
        least = every[_least_rows(every[:, :3], self.cap)]
        return Front(least[:, :3], volume, one.bears and two.bears, pairs=pairs, joins=least[:, 3:])

    def _blocks(self, pair: tuple[Front, Front], number: int, volume: float) -> Iterator[Rows]:
        """Rows of sizes and joins for one pair of fronts, those within the limit and its spare volume."""
        first, second = (part.sizes for part in pair)
        across = np.maximum(first[:, None], second[None])
        for axis in range(3 if pair[0].bears or pair[1].bears else 2):
            sizes = across.copy()
            sizes[:, :, axis] = first[:, None, axis] + second[None, :, axis]
            flat = sizes.reshape(-1, 3)
            length, width, height = flat.T
            within = (length <= self.limit[0]) & (width <= self.limit[1]) & (height <= self.limit[2])
            within &= _volumes(flat) <= self.spare + volume
            rows = np.flatnonzero(within)
            joins = np.empty((len(rows), 4), dtype=np.int64)
            joins[:, 0], joins[:, 1] = axis, number
            joins[:, 2], joins[:, 3] = np.divmod(rows, len(second))
            yield np.concatenate([flat[rows], joins], axis=1)


def _halves(part: tuple[int, ...]) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Every way to split a set of pieces in two, each once."""
    for one in product(*(range(quantity + 1) for quantity in part)):
        two = tuple(quantity - taken for quantity, taken in zip(part, one, strict=True))
        if one <= two and any(one):
            yield one, two


def _volumes(sizes: Rows) -> NDArray[np.float64]:
    length, width, height = sizes.T
    volumes: NDArray[np.float64] = length.astype(np.float64) * width * height
    return volumes


def _least_rows(sizes: Rows, cap: int) -> NDArray[np.intp]:
    """Row numbers of sizes that no other row is within, by rising volume, at most `cap`.

    A row can only lie within later ones. So rows are looked at in lots, and none beyond the lot that fills the cap.
    """
    order = np.argsort(_volumes(sizes), kind="stable")
    kept: list[int] = []
    for start in range(0, len(order), LOT):
        lot = order[start : start + LOT]
        for row in kept:
            lot = _not_around(sizes, lot, row)
        while len(lot) and len(kept) < cap:
            kept.append(int(lot[0]))
            lot = _not_around(sizes, lot, kept[-1])
        if len(kept) == cap:
            break
    return np.array(kept, dtype=np.intp)


def _not_around(sizes: Rows, numbers: NDArray[np.intp], row: int) -> NDArray[np.intp]:
    """Those of the row numbers whose sizes the given row is not within."""
    length, width, height = sizes[numbers].T
    least = sizes[row]
    is_around: NDArray[np.bool_] = (length >= least[0]) & (width >= least[1]) & (height >= least[2])
    return np.compress(~is_around, numbers)
