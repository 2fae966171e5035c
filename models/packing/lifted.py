"""Pieces made as large as nothing else can tell: sides raised by what must stay empty in line with them in any case.

Along one axis a piece of side s leaves room - s. Where no sum of the others' sides fills that, the rest stays empty
whatever lies there, and the piece may be taken to be longer by it: every set of pieces that lay one after the other
within the room still does. So the raised sides are a conservative scale, by which the pieces lie in the room exactly
where they did by their own: S. P. Fekete and J. Schepers, "A general framework for bounds for higher-dimensional
orthogonal packing problems", Mathematical Methods of Operations Research 60 (2004), theorem 2. Raising one piece after
the other is so too, each beside those raised before. Who lies before whom along an axis stays as it was, so that
nothing comes to lie on a piece that bears nothing.

What was lost in small gaps beside and above the pieces counts as filled afterwards, and less is left to spare.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from models.packing.needed import Micro, Piece
from models.packing.shares import narrowing

# Sums of sides looked at along one axis; beyond, the piece stays as it is. Rounds of raising and leaving out ways.
MOST_SUMS, MOST_ROUNDS = 3_000, 4

Ways = list[dict[Micro, Micro]]


@dataclass(frozen=True)
class Lifted:
    """pieces: with the ways that are left, raised. own: of each piece the way by its own sides, by the raised one."""

    pieces: tuple[Piece, ...]
    own: tuple[dict[Micro, Micro], ...]

    def by_own_sides(self, places: Sequence[tuple[Micro, Micro]]) -> list[tuple[Micro, Micro]]:
        """(start, sides) of each piece in order, by its own sides, moved up to those that lie before it."""
        sides = [own[way] for own, (_, way) in zip(self.own, places, strict=True)]
        along = [_moved_up(axis, places, sides) for axis in range(3)]
        return list(zip(zip(*along, strict=True), sides, strict=True))


def _moved_up(axis: int, places: Sequence[tuple[Micro, Micro]], sides: Sequence[Micro]) -> list[int]:
    """Where each begins along the axis: whatever ended before it still does."""
    starts = [0] * len(places)
    order = sorted(range(len(places)), key=lambda at: places[at][0][axis])
    for place, at in enumerate(order):
        begins = places[at][0][axis]
        before = [other for other in order[:place] if places[other][0][axis] + places[other][1][axis] <= begins]
        starts[at] = max((starts[other] + sides[other][axis] for other in before), default=0)
    return starts


def lifted(pieces: tuple[Piece, ...], room: Micro) -> Lifted:
    """The pieces with raised sides, without ways that leave the others no room; alike ones stay alike."""
    ways: Ways = [{way: way for way in piece.ways} for piece in pieces]
    for _ in range(MOST_ROUNDS):
        left = narrowing(_made(pieces, ways), room).ways
        if not all(left):
            break
        kept = [{way: own[way] for way in each} for own, each in zip(ways, left, strict=True)]
        raised = _raised(pieces, kept, room)
        if raised == ways:
            break
        ways = raised
    return Lifted(_made(pieces, ways), tuple(ways))


def _made(pieces: Sequence[Piece], ways: Ways) -> tuple[Piece, ...]:
    return tuple(Piece(tuple(sorted(each)), piece.bears) for piece, each in zip(pieces, ways, strict=True))


def _raised(pieces: Sequence[Piece], ways: Ways, room: Micro) -> Ways:
    """All pieces raised along each axis, one after the other."""
    ways = list(ways)
    for number, piece in enumerate(pieces):
        alike = [at for at, other in enumerate(pieces) if other == piece]
        if alike[0] == number:
            for axis in range(3):
                grown = _raised_along(axis, ways, alike, room[axis])
                for at in alike:
                    ways[at] = grown
    return ways


def _raised_along(axis: int, ways: Ways, alike: Sequence[int], most: int) -> dict[Micro, Micro]:
    """The ways of pieces that are alike, raised along an axis. Of two that might lie there one after the other none is,
    since what is raised of one counts for the other."""
    own = ways[alike[0]]
    least = min(way[axis] for way in own)
    if len(alike) > 1 and 2 * least <= most:
        return own
    sums = _sums((each for at, each in enumerate(ways) if at not in alike), axis, most - least)
    return {_with(way, axis, most - _largest(sums, most - way[axis])): own[way] for way in own} if sums else own


def _sums(others: Iterable[dict[Micro, Micro]], axis: int, most: int) -> list[int]:
    """Every sum of sides up to `most`, of each piece one side or none, rising; nothing where there are too many."""
    sums = {0}
    for each in others:
        sides = {way[axis] for way in each if way[axis] <= most}
        sums |= {so_far + side for so_far in sums for side in sides if so_far + side <= most}
        if len(sums) > MOST_SUMS:
            return []
    return sorted(sums)


def _largest(sums: Sequence[int], most: int) -> int:
    return sums[bisect_right(sums, most) - 1]


def _with(way: Micro, axis: int, side: int) -> Micro:
    length, width, height = (side if at == axis else each for at, each in enumerate(way))
    return (length, width, height)
