"""Fit of many contents against many inside sides at once: the table behind carton choice for parcels of several pieces.

One front of blocks answers for every carton and cut height together. What it leaves open is asked one by one, the
roomiest first, and each answer carries over: what fits a room fits every room that holds it, and the other way round.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from models.packing.bundles import variants
from models.packing.fit import USUAL, Effort, Known, Lines, Verdict, as_it_is, named
from models.packing.fronts import Front, front
from models.packing.needed import MICRO, Contents, Sides, room, shape
from models.packing.placement import faults

Rooms = NDArray[np.int64]
Insides = NDArray[np.float64]
Verdicts = NDArray[np.int8]
Key = tuple[float, tuple[Lines, ...]]

# Of one contents, so many rooms may stay undecided after a full search; then only bounds and blocks are tried.
PATIENCE = 12


def fit_table(
    many: Sequence[Contents], insides_in: ArrayLike, effort: Effort | None = None, known: Known | None = None
) -> Verdicts:
    """Verdicts as an int8 array (contents, insides): 1 fits, 0 does not fit, -1 undecided.

    insides_in: (insides, 3) in inches: length, width, height. known: kept by the caller, shared between calls.
    Contents of the same geometry are answered once.
    """
    insides = np.asarray(insides_in, dtype=np.float64).reshape(-1, 3)
    known = Known() if known is None else known
    effort = effort or known.effort
    rows: dict[Key, Verdicts] = {}
    keys = [_key(packed) for packed in many]
    for key, packed in zip(keys, many, strict=True):
        if key not in rows:
            rows[key] = _with_bundles(packed, insides, effort, known)
    ordered = [rows[key] for key in keys]
    return np.stack(ordered) if ordered else np.zeros((0, len(insides)), dtype=np.int8)


def least_insides(packed: Contents, limit_in: Sides, effort: Effort = USUAL) -> Insides:
    """Inside sides of cartons made to measure: (rows, 3) in inches, length >= width, none within another.

    Smallest volume first; each row holds the goods, as checked. For one piece these are the least sides there are; for
    several the least that joined blocks give, which a cleverer placement may undercut, or bundles. limit_in: the
    largest inside that comes into question. No rows where nothing was found within it.
    """
    every = (packed, *variants(packed))
    rows = np.vstack([_least(each, limit_in, effort) for each in every])
    rows = rows[np.argsort(rows.prod(axis=1), kind="stable")]
    return rows if len(every) == 1 else _outermost(rows)


def _outermost(rows: Insides) -> Insides:
    """The rows within which no row before them lies."""
    kept: list[int] = []
    for at in range(len(rows)):
        if not any((rows[before] <= rows[at]).all() for before in kept):
            kept.append(at)
    return rows[kept]


def _least(packed: Contents, limit_in: Sides, effort: Effort) -> Insides:
    space = room(limit_in, packed.clearance_in)
    if min(space) <= 0 or len(packed.pieces) > effort.built:
        return np.zeros((0, 3))
    blocks = front(shape(packed), space, effort.blocks)
    held = [blocks.sizes[row] for row in range(len(blocks.sizes)) if _holds(packed, blocks, row)]
    sides = np.array(held, dtype=np.float64).reshape(-1, 3) / MICRO + packed.clearance_in
    sides[:, :2] = -np.sort(-sides[:, :2], axis=1)
    return np.unique(sides, axis=0)


def _key(packed: Contents) -> Key:
    return packed.clearance_in, tuple(shape(each) for each in (packed, *variants(packed)))


def _with_bundles(packed: Contents, insides: Insides, effort: Effort, known: Known) -> Verdicts:
    """Verdicts of one contents: bundles first, whose pieces are fewer; single ones where these do not fit."""
    answers = np.full(len(insides), Verdict.DOES_NOT_FIT, dtype=np.int8)
    for each in (*variants(packed), packed):
        left = np.flatnonzero(answers != Verdict.FITS)
        found = _row(each, insides[left], effort, known)
        answers[left] = np.where(found == Verdict.DOES_NOT_FIT, answers[left], found)
    return answers


def _row(packed: Contents, insides: Insides, effort: Effort, known: Known) -> Verdicts:
    rooms = np.array([room(_sides(inside), packed.clearance_in) for inside in insides], dtype=np.int64).reshape(-1, 3)
    distinct, first, where = np.unique(rooms, axis=0, return_index=True, return_inverse=True)
    answers = _by_blocks(packed, distinct, effort)
    _settle(packed, insides[first], distinct, answers, effort, known)
    return answers[where.reshape(-1)]


def _sides(inside: NDArray[np.float64]) -> Sides:
    return (float(inside[0]), float(inside[1]), float(inside[2]))


def _by_blocks(packed: Contents, rooms: Rooms, effort: Effort) -> Verdicts:
    """1 where a checked row of the contents' front lies within the room, else undecided."""
    answers = np.full(len(rooms), Verdict.UNDECIDED, dtype=np.int8)
    usable = rooms[(rooms > 0).all(axis=1)]
    if not len(usable) or len(packed.pieces) > effort.built:
        return answers
    length, width, height = (int(side) for side in usable.max(axis=0))
    blocks = front(shape(packed), (length, width, height), effort.blocks)
    for row, size in enumerate(blocks.sizes):
        within = (rooms >= size).all(axis=1) & (answers != Verdict.FITS)
        if within.any() and _holds(packed, blocks, row):
            answers[within] = Verdict.FITS
    return answers


def _holds(packed: Contents, blocks: Front, row: int) -> bool:
    """Whether the placement of one block stands the independent check in a carton just as large."""
    length, width, height = (float(side) / MICRO + packed.clearance_in for side in blocks.sizes[row])
    return not faults(named(packed, blocks.placed(row)), packed, (length, width, height))


def _settle(packed: Contents, insides: Insides, rooms: Rooms, answers: Verdicts, effort: Effort, known: Known) -> None:
    """Answers what is open, in place, roomiest first; each answer carries over to the rooms it tells about."""
    patience = PATIENCE
    for number in np.argsort(-rooms.prod(axis=1, dtype=np.float64), kind="stable"):
        if answers[number] != Verdict.UNDECIDED:
            continue
        tried = effort if patience else replace(effort, steps=0, slices=0)
        verdict = as_it_is(packed, _sides(insides[number]), tried, known).verdict
        patience -= verdict is Verdict.UNDECIDED and patience > 0
        if verdict is not Verdict.UNDECIDED:
            alike = rooms >= rooms[number] if verdict is Verdict.FITS else rooms <= rooms[number]
            answers[alike.all(axis=1) & (answers == Verdict.UNDECIDED)] = verdict
