"""Goods for the tests, and two ways to know the answer that share nothing with the code under test."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import permutations, product

from models.packing.needed import Contents, PackedItem, Sides, contents

Cells = frozenset[tuple[int, int, int]]


def item(name: str, *sides_in: float, turns: str = "any", may_lie_under: bool = True) -> PackedItem:
    """An item type with its three sides in inches."""
    length, width, height = (float(side) for side in sides_in)
    return PackedItem(name, length, width, height, turns, may_lie_under)


def cut_carton(pieces: int, chance: random.Random) -> tuple[Contents, Sides]:
    """A random carton and contents cut from it, with a clearance of nothing, 1/4 or 1/2 in."""
    length, width = sorted((chance.uniform(8, 48), chance.uniform(8, 30)), reverse=True)
    inside = (round(length, 2), round(width, 2), round(chance.uniform(6, 24), 2))
    return cut_from(inside, pieces, chance.choice([0.0, 0.25, 0.5]), chance), inside


def cut_from(inside_in: Sides, pieces: int, clearance_in: float, chance: random.Random) -> Contents:
    """Contents that fill a carton by construction: the room is cut right through, again and again.

    Each piece is then turned at random as it may be, and is as large as its part of the room less the clearance.
    """
    length, width, height = (side - clearance_in for side in inside_in)
    room: Sides = (length, width, height)
    parts: list[tuple[Sides, Sides]] = [((0.0, 0.0, 0.0), room)]
    while len(parts) < pieces:
        start, sides = parts.pop(max(range(len(parts)), key=lambda number: max(parts[number][1])))
        axis = max(range(3), key=lambda number: sides[number] * chance.uniform(0.5, 1))
        near = round(sides[axis] * chance.uniform(0.25, 0.75), 3)
        parts.append((start, _with(sides, axis, near)))
        parts.append((_with(start, axis, start[axis] + near), _with(sides, axis, sides[axis] - near)))
    goods = [_cut_item(f"part {n}", start, sides, room, clearance_in, chance) for n, (start, sides) in enumerate(parts)]
    return contents([(good, 1) for good in goods], clearance_in)


def _with(triple: tuple[float, ...], axis: int, value: float) -> Sides:
    first, second, third = (value if number == axis else side for number, side in enumerate(triple))
    return (first, second, third)


def _cut_item(
    name: str, start: Sides, sides: Sides, room: Sides, clearance_in: float, chance: random.Random
) -> PackedItem:
    length, width, height = (round(side - clearance_in, 4) for side in sides)
    is_topmost = start[2] + sides[2] >= room[2] - 1e-9
    may_lie_under = not (is_topmost and chance.random() < 0.5)
    if chance.random() < 0.4:
        turned = [width, length] if chance.random() < 0.5 else [length, width]
        return item(name, *turned, height, turns="upright", may_lie_under=may_lie_under)
    return item(name, *chance.sample([length, width, height], 3), may_lie_under=may_lie_under)


def fits_on_grid(packed: Contents, room: tuple[int, int, int]) -> bool:
    """Whether whole-inch pieces without clearance fit: every place on the inch grid is tried, cell by cell.

    Complete, since pieces pushed left, front and down come to rest on whole inches.
    """
    return _rest_fits(list(packed.pieces), room, [])


def _rest_fits(waiting: list[PackedItem], room: tuple[int, int, int], lying: list[tuple[PackedItem, Cells]]) -> bool:
    if not waiting:
        return True
    good, rest = waiting[0], waiting[1:]
    return any(
        _rest_fits(rest, room, [*lying, (good, cells)])
        for cells in _cells(good, room)
        if all(_may_lie_together(good, cells, *other) for other in lying)
    )


def _cells(good: PackedItem, room: tuple[int, int, int]) -> Iterator[Cells]:
    for way in {tuple(int(side) for side in way) for way in permutations(good.sides_in)}:
        if not _is_allowed(good, way):
            continue
        for start in product(*(range(room[axis] - way[axis] + 1) for axis in range(3))):
            yield frozenset(product(*(range(start[axis], start[axis] + way[axis]) for axis in range(3))))  # type: ignore[arg-type]


def _is_allowed(good: PackedItem, way: tuple[int, ...]) -> bool:
    """The rule in words, side by side: by rank for some words, by name for the others."""
    if good.turns == "any":
        return True
    if good.turns == "flat":
        return way[2] == min(way)
    if good.turns == "not on end":
        return way[2] < max(way) or min(way) == max(way)
    said = "height" if good.turns == "upright" else good.turns
    return any(f"{side}" in said and way[2] == getattr(good, f"{side}_in") for side in ("length", "width", "height"))


def _may_lie_together(one: PackedItem, cells: Cells, two: PackedItem, others: Cells) -> bool:
    return not cells & others and not _lies_above(one, cells, others) and not _lies_above(two, others, cells)


def _lies_above(lower: PackedItem, cells: Cells, others: Cells) -> bool:
    if lower.may_lie_under:
        return False
    tops = {(x, y): z for x, y, z in sorted(cells)}
    return any((x, y) in tops and z > tops[x, y] for x, y, z in others)
