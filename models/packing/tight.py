"""Placements that leave next to nothing empty: blocks joined face to face, those with the least waste kept.

Where a room is nearly full, few blocks can be part of an arrangement: what a block holds empty, and what must stay
empty straight beside it (`waste`), is more than the room has to spare for nearly all others. So all sets of up to a
dozen pieces can be gone through, which `fronts` cannot. A missing placement proves nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from models.packing.needed import Micro, Piece
from models.packing.waste import Lanes, Rows, Volumes, spare_volume

Flags = NDArray[np.bool_]
Places = list[tuple[Micro, Micro]]
# Number of the piece, or of the first that is alike; start and sides.
Numbered = tuple[int, Micro, Micro]

# Blocks kept of each set of pieces.
MOST_OF_A_SET = 12
# Pairs looked at together; any number gives the same answer.
LOT = 200_000


@dataclass
class Blocks:
    """Blocks of as many pieces each. sets: how many of each piece, in fields of bits. sizes: (rows, 3) in micro-inches.

    waste: what must stay empty within and beside. joins: axis, level and row of the nearer and of the farther block;
    for single pieces the number of the piece.
    """

    sets: Rows
    sizes: Rows
    volume: Volumes
    waste: Volumes
    bears: Flags
    joins: Rows

    def __len__(self) -> int:
        return len(self.sets)

    def taken(self, rows: NDArray[np.intp]) -> Blocks:
        """These blocks only, in this order."""
        return Blocks(*(getattr(self, each.name)[rows] for each in fields(self)))


def tight_placement(
    pieces: Sequence[Piece], ways: Sequence[tuple[Micro, ...]], room: Micro, most_blocks: int
) -> Places | None:
    """(start, sides) of each piece in order; None where no such arrangement was found.

    ways: how each piece may stand within the room. most_blocks: kept of those with equally many pieces.
    """
    builder = _Builder(pieces, ways, room, most_blocks)
    count = len(pieces)
    for size in range(2, count + 1):
        builder.levels.append(builder.joined(size))
    return _in_order(pieces, builder.placed(count, 0, (0, 0, 0))) if len(builder.levels[count]) else None


def _in_order(pieces: Sequence[Piece], placed: Iterable[Numbered]) -> Places:
    waiting: dict[Piece, list[tuple[Micro, Micro]]] = {}
    for number, start, sides in placed:
        waiting.setdefault(pieces[number], []).append((start, sides))
    return [waiting[piece].pop() for piece in pieces]


def _together(many: Sequence[Blocks]) -> Blocks:
    return Blocks(*(np.concatenate([getattr(blocks, each.name) for blocks in many]) for each in fields(Blocks)))


class _Builder:
    def __init__(self, pieces: Sequence[Piece], ways: Sequence[tuple[Micro, ...]], room: Micro, most: int) -> None:
        self.pieces, self.room, self.most = pieces, np.array(room, dtype=np.int64), most
        self.spare, self.lanes = spare_volume(pieces, room), Lanes(ways, room)
        self.units, self.offset, self.guards = _fields(pieces)
        singles = self._singles(ways)
        self.levels = [singles.taken(np.zeros(0, dtype=np.intp)), singles]

    def _singles(self, ways: Sequence[tuple[Micro, ...]]) -> Blocks:
        numbers = [number for number, piece in enumerate(self.pieces) if piece not in self.pieces[:number]]
        rows = [(number, way) for number in numbers for way in ways[number]]
        number = np.array([number for number, _ in rows], dtype=np.int64)
        sizes = np.array([way for _, way in rows], dtype=np.int64).reshape(-1, 3)
        joins = np.zeros((len(rows), 5), dtype=np.int64)
        joins[:, 0] = number
        volume = np.array([self.pieces[each].volume for each in number.tolist()], dtype=np.float64)
        bears = np.array([self.pieces[each].bears for each in number.tolist()], dtype=np.bool_)
        return Blocks(self.units[number], sizes, volume, self.lanes.waste(sizes), bears, joins)

    def joined(self, size: int) -> Blocks:
        """Blocks of so many pieces, each joined from two smaller ones; the least waste first."""
        halves = [(one, size - one) for one in range(1, size // 2 + 1)]
        every = _together([self.levels[0], *(blocks for one, two in halves for blocks in self._joins(one, two))])
        return self._best(every)

    def _joins(self, one: int, two: int) -> Iterator[Blocks]:
        first, second = self.levels[one], self.levels[two]
        step = max(1, LOT // max(1, len(second)))
        for start in range(0, len(first) if len(second) else 0, step):
            sums = first.sets[start : start + step, None] + second.sets[None]
            near, far = np.nonzero(((sums + self.offset) & self.guards) == 0)
            near += start
            if one == two:
                near, far = near[near <= far], far[near <= far]
            for axis in range(3):
                yield self._joined_along(axis, (one, near), (two, far))

    def _joined_along(self, axis: int, near: tuple[int, NDArray[np.intp]], far: tuple[int, NDArray[np.intp]]) -> Blocks:
        first, second = self.levels[near[0]].taken(near[1]), self.levels[far[0]].taken(far[1])
        sizes = np.maximum(first.sizes, second.sizes)
        sizes[:, axis] = first.sizes[:, axis] + second.sizes[:, axis]
        volume = first.volume + second.volume
        empty = sizes.astype(np.float64).prod(axis=1) - volume
        usable = (sizes[:, axis] <= self.room[axis]) & (empty <= self.spare)
        usable &= first.bears | second.bears | (axis < 2)
        rows = np.flatnonzero(usable)
        waste = empty[rows] + self.lanes.waste(sizes[rows])
        kept = np.flatnonzero(waste <= self.spare)
        rows, waste = rows[kept], waste[kept]
        # What nothing may lie on goes on top.
        below = first.bears[rows] | (axis < 2)
        ends = [np.column_stack([np.full(len(rows), level), at[rows]]) for level, at in (near, far)]
        joins = np.where(below[:, None], np.hstack(ends), np.hstack(ends[::-1]))
        joins = np.column_stack([np.full(len(rows), axis), joins])
        bears = first.bears[rows] & second.bears[rows]
        return Blocks((first.sets + second.sets)[rows], sizes[rows], volume[rows], waste, bears, joins)

    def _best(self, every: Blocks) -> Blocks:
        """Without repeats, the least waste first; of each set MOST_OF_A_SET at most."""
        keys = np.column_stack([every.sets, every.sizes])
        _, distinct = np.unique(keys, axis=0, return_index=True)
        ordered = distinct[np.argsort(every.waste[distinct], kind="stable")]
        by_set = np.argsort(every.sets[ordered], kind="stable")
        sets = every.sets[ordered[by_set]]
        place = np.arange(len(sets)) - np.searchsorted(sets, sets)
        kept = np.sort(by_set[place < MOST_OF_A_SET])[: self.most]
        return every.taken(ordered[kept])

    def placed(self, level: int, row: int, at: Micro) -> Iterator[Numbered]:
        """The pieces of one block and where they lie; alike pieces all have the number of the first."""
        blocks = self.levels[level]
        if level == 1:
            length, width, height = blocks.sizes[row].tolist()
            yield int(blocks.joins[row, 0]), at, (length, width, height)
            return
        axis, near, near_row, far, far_row = blocks.joins[row].tolist()
        yield from self.placed(near, near_row, at)
        moved = list(at)
        moved[axis] += int(self.levels[near].sizes[near_row, axis])
        yield from self.placed(far, far_row, (moved[0], moved[1], moved[2]))


def _fields(pieces: Sequence[Piece]) -> tuple[Rows, int, int]:
    """One of each piece as a whole number, and what tells that a sum holds more of a piece than there are.

    Alike pieces share a field of bits with one bit to guard it: adding the offset sets it where a count is too large.
    """
    units, offset, guards, bit = {}, 0, 0, 0
    for piece in pieces:
        if piece not in units:
            count = pieces.count(piece)
            width = count.bit_length()
            units[piece] = 1 << bit
            offset |= ((1 << width) - 1 - count) << bit
            guards |= 1 << (bit + width)
            bit += width + 1
    return np.array([units[piece] for piece in pieces], dtype=np.int64), offset, guards
