"""Exact fits that no cut right through can build: pinwheels, whose answer is known by construction.

Flat: four pieces around a core, each reaching past the next one's end, as the arms of a windmill do. Solid: three bars,
one along each axis, that pass one another, and the two corners they leave. Either way every plane across the room goes
through a piece, so joined blocks cannot give it; a piece cut in two gives one piece more.
"""

from __future__ import annotations

import random
from collections.abc import Sequence

from models.packing.needed import Contents, PackedItem, contents
from tests.models.packing.goods import item

Whole = tuple[int, int, int]
# (start, end) of a piece
Part = tuple[Whole, Whole]


def flat(room: Whole, near: tuple[int, int], far: tuple[int, int]) -> list[Part]:
    """Five pieces as high as the room; the core lies from `near` to `far` along length and width."""
    (length, width, height), (a, c), (b, d) = room, near, far
    corners = [((0, 0), (b, c)), ((b, 0), (length, d)), ((a, d), (length, width)), ((0, c), (a, width)), (near, far)]
    return [((*start, 0), (*end, height)) for start, end in corners]


def solid(room: Whole, cut: Whole) -> list[Part]:
    """Three bars and two corners; `cut` is where the bars pass one another."""
    (length, width, height), (a, b, c) = room, cut
    return [
        ((0, 0, c), (length, b, height)),
        ((0, 0, 0), (a, width, c)),
        ((a, b, 0), (length, width, height)),
        ((0, b, c), (a, width, height)),
        ((a, 0, 0), (length, b, c)),
    ]


def halved(parts: Sequence[Part], chance: random.Random) -> list[Part]:
    """One piece more: a piece that is longer than an inch is cut in two."""
    long = [(at, axis) for at, (start, end) in enumerate(parts) for axis in range(3) if end[axis] - start[axis] > 1]
    at, axis = chance.choice(long)
    start, end = parts[at]
    middle = chance.randint(start[axis] + 1, end[axis] - 1)
    return [*parts[:at], (start, _with(end, axis, middle)), (_with(start, axis, middle), end), *parts[at + 1 :]]


def _with(triple: Whole, axis: int, value: int) -> Whole:
    first, second, third = (value if number == axis else side for number, side in enumerate(triple))
    return (first, second, third)


def random_flat(chance: random.Random) -> tuple[Whole, list[Part]]:
    """A room of up to 12 in and a flat pinwheel in it; every second core is larger than its arms."""
    if chance.random() < 0.5:
        length, width = chance.randint(6, 12), chance.randint(6, 12)
        near, far = (1, 2), (length - 2, width - 1)
    else:
        length, width = chance.randint(4, 12), chance.randint(4, 12)
        (a, b), (c, d) = (sorted(chance.sample(range(1, side), 2)) for side in (length, width))
        near, far = (a, c), (b, d)
    room = (length, width, chance.randint(1, 6))
    return room, flat(room, near, far)


def random_solid(chance: random.Random) -> tuple[Whole, list[Part]]:
    """A room of up to 9 in and a solid pinwheel in it."""
    length, width, height = (chance.randint(2, 9) for _ in range(3))
    a, b, c = (chance.randint(1, side - 1) for side in (length, width, height))
    return (length, width, height), solid((length, width, height), (a, b, c))


def packed(parts: Sequence[Part], chance: random.Random, turns: str = "any") -> Contents:
    """The parts as goods, in any order and turned as they may be; pieces with the same sides are alike."""
    goods = [_good(start, end, chance, turns) for start, end in parts]
    chance.shuffle(goods)
    return contents([(good, 1) for good in goods])


def _good(start: Whole, end: Whole, chance: random.Random, turns: str) -> PackedItem:
    length, width, height = (after - before for before, after in zip(start, end, strict=True))
    if turns == "upright":
        level = chance.sample([length, width], 2)
        return item(f"{sorted(level)} {height}", *sorted(level), height, turns="upright")
    sides = sorted([length, width, height])
    return item(str(sides), *sides)
