"""How pieces may stand along one axis, and how much of the room's face they may cover."""

from collections.abc import Sequence
from dataclasses import dataclass

Face = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Stand:
    """One side that a piece may have along the axis, and the faces it then shows: the least and the largest of them."""

    side: int
    piece: int
    least: int
    most: int
    faces: tuple[Face, ...]


def stands_along(pieces: Sequence[Sequence[tuple[int, Face]]]) -> list[Stand]:
    """The stands of pieces that are given as (side along the axis, face), the shortest first."""
    found = []
    for number, each in enumerate(pieces):
        for side in {side for side, _ in each}:
            faces = tuple(sorted({face for along, face in each if along == side}))
            areas = [length * width for length, width in faces]
            found.append(Stand(side, number, min(areas), max(areas), faces))
    return sorted(found, key=lambda stand: (stand.side, stand.piece))


def reach(usable: Sequence[tuple[int, Stand]]) -> list[int]:
    """The most that the pieces of these stands may cover together, from each stand on."""
    largest: dict[int, int] = {}
    reach, together = [], 0
    for _, stand in reversed(usable):
        before = largest.get(stand.piece, 0)
        if stand.most > before:
            largest[stand.piece] = stand.most
            together += stand.most - before
        reach.append(together)
    return reach[::-1]
