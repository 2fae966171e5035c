"""Nine to twelve pieces that fill a carton all but a few per cent: cut right through, or as pinwheels within pinwheels.

What is cut from a room fits it by construction. Bent rooms keep their volume and so all but the answer: one side is
made longer, another shorter, and whether the pieces still fit nobody knows before a referee has told.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from math import prod

from models.packing.needed import Contents, PackedItem, Sides, contents
from tests.models.packing.goods import item
from tests.models.packing.pinwheels import Part, flat, solid

KINDS = ("cut through", "pinwheels", "bent")
TURNS = ("any", "upright", "mixed")
# A room that is bent loses so much of one side and gains it on another.
BENT = (0.01, 0.06)
# Parts are cut on this grid (parts per inch), so that room remains for every cut.
GRID = 8
LEAST = 4


@dataclass(frozen=True)
class TightSet:
    """Contents, the room they were cut from (bent or not), and how much of its volume they leave free."""

    kind: str
    packed: Contents
    inside_in: Sides
    slack: float


def tight_set(kind: str, pieces: int, chance: random.Random) -> TightSet:
    """So many pieces; none to 5 % of slack (in every third exactly none), free to turn, upright only or mixed."""
    room = _room(chance)
    parts = _cut_through(room, pieces, chance) if chance.random() < 0.5 else _pinwheels(room, pieces, chance)
    if kind != "bent":
        parts = _cut_through(room, pieces, chance) if kind == "cut through" else _pinwheels(room, pieces, chance)
    slack = 0.0 if chance.random() < 1 / 3 and kind != "bent" else chance.uniform(0, 0.05)
    inside = (room[0] / GRID, room[1] / GRID, room[2] / GRID)
    packed = _goods(parts, slack, chance.choice(TURNS), chance)
    return TightSet(kind, packed, _bent(inside, chance) if kind == "bent" else inside, slack)


def _room(chance: random.Random) -> tuple[int, int, int]:
    length, width = sorted((chance.randint(10, 40), chance.randint(8, 30)), reverse=True)
    return (length * GRID, width * GRID, chance.randint(6, 24) * GRID)


def _cut_through(room: tuple[int, int, int], pieces: int, chance: random.Random) -> list[Part]:
    """Each time a part is cut in two, a large one rather than a small one, across a long side rather than a short."""
    parts: list[Part] = [((0, 0, 0), room)]
    while len(parts) < pieces:
        start, end = _taken(parts, chance)
        axis = max(range(3), key=lambda number: (end[number] - start[number]) * chance.uniform(0.5, 1))
        middle = start[axis] + _between(end[axis] - start[axis], chance)
        parts += [(start, _with(end, axis, middle)), (_with(start, axis, middle), end)]
    return parts


def _pinwheels(room: tuple[int, int, int], pieces: int, chance: random.Random) -> list[Part]:
    """A part becomes the five of a pinwheel while five more than one are still wanted; then parts are cut in two."""
    parts = _pinwheel(((0, 0, 0), room), chance)
    while len(parts) + 4 <= pieces:
        parts += _pinwheel(_taken(parts, chance), chance)
    while len(parts) < pieces:
        parts += _halves(_taken(parts, chance), chance)
    return parts


def _halves(part: Part, chance: random.Random) -> list[Part]:
    start, end = part
    axis = max(range(3), key=lambda number: (end[number] - start[number]) * chance.uniform(0.5, 1))
    middle = start[axis] + _between(end[axis] - start[axis], chance)
    return [(start, _with(end, axis, middle)), (_with(start, axis, middle), end)]


def _pinwheel(part: Part, chance: random.Random) -> list[Part]:
    """A pinwheel of five within the part: flat, about any axis, or solid; either hand."""
    start, end = part
    length, width, height = (after - before for before, after in zip(start, end, strict=True))
    axes = chance.sample(range(3), 3)
    sides = [(length, width, height)[axis] for axis in axes]
    cuts = [sorted((_between(side, chance), _between(side, chance))) for side in sides]
    if chance.random() < 0.5:
        (a, b), (c, d), _ = cuts
        inner = flat((sides[0], sides[1], sides[2]), (a, c), (max(b, a + 1), max(d, c + 1)))
    else:
        inner = solid((sides[0], sides[1], sides[2]), (cuts[0][0], cuts[1][1], cuts[2][0]))
    return [(_back(near, axes, start), _back(far, axes, start)) for near, far in inner]


def _back(point: tuple[int, int, int], axes: Sequence[int], start: tuple[int, int, int]) -> tuple[int, int, int]:
    found = [0, 0, 0]
    for value, axis in zip(point, axes, strict=True):
        found[axis] = value + start[axis]
    return (found[0], found[1], found[2])


def _between(side: int, chance: random.Random) -> int:
    return min(max(1, round(side * chance.uniform(0.25, 0.75))), side - 1)


def _taken(parts: list[Part], chance: random.Random) -> Part:
    """One of the three largest parts, taken out of the list; none that is too thin to be cut again."""
    order = sorted(range(len(parts)), key=lambda number: -_least_side(parts[number]) * _volume(parts[number]))
    return parts.pop(chance.choice(order[:3]))


def _volume(part: Part) -> int:
    return prod(after - before for before, after in zip(*part, strict=True))


def _least_side(part: Part) -> int:
    return min(min(after - before for before, after in zip(*part, strict=True)), LEAST)


def _with(triple: tuple[int, int, int], axis: int, value: int) -> tuple[int, int, int]:
    first, second, third = (value if number == axis else side for number, side in enumerate(triple))
    return (first, second, third)


def _goods(parts: Sequence[Part], slack: float, turns: str, chance: random.Random) -> Contents:
    """Each part as one good: its sides shrunk at random so that together they leave the slack free."""
    shares = [chance.random() for _ in range(3 * len(parts))]
    by = slack / (3 * sum(shares) / len(shares))
    goods = [
        _good(f"part {number}", part, [1 - by * share for share in shares[3 * number : 3 * number + 3]], turns, chance)
        for number, part in enumerate(parts)
    ]
    chance.shuffle(goods)
    return contents([(good, 1) for good in goods])


def _good(name: str, part: Part, shrunk: Sequence[float], turns: str, chance: random.Random) -> PackedItem:
    start, end = part
    exact = [(after - before) / GRID for before, after in zip(start, end, strict=True)]
    length, width, height = (side if by == 1 else round(side * by, 3) for side, by in zip(exact, shrunk, strict=True))
    if turns == "upright" or (turns == "mixed" and chance.random() < 0.5):
        return item(name, *chance.sample([length, width], 2), height, turns="upright")
    return item(name, *chance.sample([length, width, height], 3))


def _bent(inside_in: Sides, chance: random.Random) -> Sides:
    longer, shorter = chance.sample(range(3), 2)
    by = 1 - chance.uniform(*BENT)
    sides = list(inside_in)
    sides[shorter] *= by
    sides[longer] /= by
    return (sides[0], sides[1], sides[2])
