"""Whether pieces can lie in a room, asked of a general constraint solver: the extra `solver`.

Per piece a start and one of its ways, per pair one of six relations (one before the other along an axis), as in
`search`; per axis, as a bound, that the faces of the pieces beside one another never exceed the room's; and that the
ways in which pieces stand leave them room by conservative scales. The solver
works with whole micro-inches, one thread and a fixed seed, and counts its work, so that an answer does not depend on
the machine. Where it places, the placement is checked as any other; where it says that there is none, it is believed.
"""

from collections.abc import Sequence
from importlib import import_module
from itertools import combinations
from typing import Any

import numpy as np

from models.errors import SettingsError
from models.packing.needed import Micro, Piece
from models.packing.search import Places
from models.packing.shares import Floats, narrowing

# Faces are compared in whole parts of the room's: rounded down, so that rounding never refuses an arrangement.
PARTS = 1_000_000
ROUNDED = 0.2
# Bounds on the ways pieces stand together, the strictest ones; any number gives true answers.
TRIPLES = 60


class OutOfWorkError(Exception):
    """The solver used up its work; the answer stays open."""


def places(pieces: tuple[Piece, ...], room: Micro, most_work: float) -> Places | None:
    """(start, sides) of each piece in order, or None when none can exist.

    pieces: alike ones next to each other. Raises OutOfWorkError, and SettingsError where the extra is not installed.
    """
    left = narrowing(pieces, room)
    ways = left.ways
    if not all(ways):
        return None
    solvers = _solvers()
    model = solvers.CpModel()
    boxes = [_Box(model, each, room) for each in ways]
    _lay_apart(model, pieces, boxes)
    _halve_by_mirror(model, pieces, boxes[0], room)
    for axis in range(3):
        _bound_faces(model, boxes, room, axis)
    _bound_shares(model, boxes, left.shares.strictest(ways, TRIPLES))
    return _answer(solvers, model, boxes, most_work)


def _solvers() -> Any:
    try:
        return import_module("ortools.sat.python.cp_model")
    except ImportError as error:
        raise SettingsError(
            "[cartons] solver",
            "needs the extra `solver`",
            "contents that stay open",
            "run `pip install dunnage[solver]`",
        ) from error


class _Box:
    """The solver's view of one piece: which way it stands, and its start and end along each axis."""

    def __init__(self, model: Any, ways: Sequence[Micro], room: Micro) -> None:
        self.model, self.ways = model, ways
        self.stands = [model.new_bool_var("") for _ in ways]
        model.add_exactly_one(self.stands)
        self.sides = [self.chosen([way[axis] for way in ways]) for axis in range(3)]
        self.starts = [model.new_int_var(0, room[axis] - min(way[axis] for way in ways), "") for axis in range(3)]
        self.ends = [model.new_int_var(0, room[axis], "") for axis in range(3)]
        parts = zip(self.starts, self.sides, self.ends, strict=True)
        self.spans = [model.new_interval_var(start, side, end, "") for start, side, end in parts]

    def chosen(self, values: Sequence[int]) -> Any:
        """The value that belongs to the way it stands."""
        found = self.model.new_int_var(min(values), max(values), "")
        for stands, value in zip(self.stands, values, strict=True):
            self.model.add(found == value).only_enforce_if(stands)
        return found


def _lay_apart(model: Any, pieces: Sequence[Piece], boxes: Sequence[_Box]) -> None:
    for one, two in combinations(range(len(pieces)), 2):
        orders = [(axis, *pair) for axis in range(3) for pair in ((one, two), (two, one))]
        allowed = [(axis, near, far) for axis, near, far in orders if axis < 2 or pieces[near].bears]
        model.add_bool_or([_before(model, boxes[near], boxes[far], axis) for axis, near, far in allowed])
        if two == one + 1 and pieces[one] == pieces[two]:
            model.add(boxes[one].starts[0] <= boxes[two].starts[0])


def _halve_by_mirror(model: Any, pieces: Sequence[Piece], first: _Box, room: Micro) -> None:
    """Of two mirrored arrangements one is enough: the middle of the first piece lies in the near half of each axis.

    Of alike pieces the first begins nearest. Where its middle lies far, so does that of the one which ends farthest,
    and that one begins nearest in the mirror.
    """
    for axis in range(3 if all(piece.bears for piece in pieces) else 2):
        model.add(2 * first.starts[axis] + first.sides[axis] <= room[axis])


def _before(model: Any, near: _Box, far: _Box, axis: int) -> Any:
    is_before = model.new_bool_var("")
    model.add(near.ends[axis] <= far.starts[axis]).only_enforce_if(is_before)
    return is_before


def _bound_faces(model: Any, boxes: Sequence[_Box], room: Micro, axis: int) -> None:
    one, two = (other for other in range(3) if other != axis)
    faces = [box.chosen([way[one] * way[two] * PARTS // (room[one] * room[two]) for way in box.ways]) for box in boxes]
    model.add_cumulative([box.spans[axis] for box in boxes], faces, PARTS)


def _bound_shares(model: Any, boxes: Sequence[_Box], shares: Sequence[Floats]) -> None:
    """By every triple of scales (`shares`) the pieces as they stand take no more than the room."""
    stands = [each for box in boxes for each in box.stands]
    parts = np.floor(np.hstack(shares) * PARTS - ROUNDED).clip(0).astype(np.int64)
    for row in parts.tolist():
        model.add(sum(part * each for part, each in zip(row, stands, strict=True)) <= PARTS)


def _answer(solvers: Any, model: Any, boxes: Sequence[_Box], most_work: float) -> Places | None:
    asked = solvers.CpSolver()
    asked.parameters.num_workers, asked.parameters.random_seed = 1, 1
    asked.parameters.max_deterministic_time = most_work
    status = asked.solve(model)
    if status == solvers.INFEASIBLE:
        return None
    if status not in (solvers.OPTIMAL, solvers.FEASIBLE):
        raise OutOfWorkError
    return [(_triple(asked, box.starts), _triple(asked, box.sides)) for box in boxes]


def _triple(asked: Any, variables: Sequence[Any]) -> Micro:
    length, width, height = (int(asked.value(variable)) for variable in variables)
    return (length, width, height)
