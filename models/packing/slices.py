"""Whether pieces can lie in a nearly full room, by their courses along some axis (`courses`).

Where along one axis there is no course, nothing fits. A course that there is says which pieces lie before one another
along the axis; whether they can then lie beside the others is left to `search`. The pieces across a slice lie beside
one another, which is asked in the same way as courses, in two dimensions, once for all slices that hold the same.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import prod

from models.packing.courses import Course, Courses, Steps
from models.packing.needed import Micro, Piece
from models.packing.search import OutOfStepsError, Places, Relation, Search, State
from models.packing.stands import Face, Stand, stands_along

# Steps for the pieces across one slice; beyond, they are taken to lie beside one another.
STEPS_ACROSS = 300
# So many times fewer steps along the two shorter axes.
SOONER = 5
# With more left to choose hardly a set is refused: ways of a piece on average, share of the room that stays empty.
MOST_WAYS, MOST_EMPTY = 3.5, 0.05

# Most steps of the search for the places of one course, and how many steps along the axis it counts for.
STEPS_IN_COURSE, COST_OF_COURSE = 2_000, 5_000

Ways = Sequence[tuple[Micro, ...]]


def is_tight(ways: Ways, room: Micro) -> bool:
    """Whether it is worth asking: little stays empty, and the pieces are no longer free to turn."""
    filled = sum(min(prod(way) for way in each) for each in ways) / prod(room)
    return sum(map(len, ways)) <= MOST_WAYS * len(ways) and filled >= 1 - MOST_EMPTY


def laid_by_courses(pieces: Sequence[Piece], ways: Ways, room: Micro, most_steps: int) -> Places | None:
    """(start, sides) of each piece in order, or None when none can exist. Raises OutOfStepsError.

    ways: of each piece, at least one. most_steps: along the longest axis, which has the fewest pieces across; the
    others are given up sooner.
    """
    standing = [replace(piece, ways=each) for piece, each in zip(pieces, ways, strict=True)]
    # Nothing is mirrored from above to below where goods may lie on some pieces only.
    axes = range(3 if all(piece.bears for piece in pieces) else 2)
    for place, axis in enumerate(sorted(axes, key=lambda axis: -room[axis])):
        try:
            return laid_along(standing, room, axis, most_steps // SOONER if place else most_steps)
        except OutOfStepsError:
            continue
    raise OutOfStepsError


def laid_along(pieces: Sequence[Piece], room: Micro, axis: int, most_steps: int) -> Places | None:
    """The same, by courses along one axis."""
    one, two = (other for other in range(3) if other != axis)
    if all(way[one] == room[one] for piece in pieces for way in piece.ways):
        one, two = two, one
    # Where all reach from wall to wall, the pieces across lie beside one another if they are narrow enough.
    is_flat = all(way[two] == room[two] for piece in pieces for way in piece.ways)
    sides = (room[one], 1 if is_flat else room[two])
    faces = [[(way[axis], (way[one], 1 if is_flat else way[two])) for way in piece.ways] for piece in pieces]
    stands, steps = stands_along(faces), Steps(most_steps)
    beside = None if is_flat else Beside(stands, sides, steps)
    laying = _Laying(pieces, room, axis, stands, steps)
    Courses(stands, (room[axis], sides[0] * sides[1]), steps, beside, _twins(pieces), laying).first()
    return laying.places


def _twins(pieces: Sequence[Piece]) -> list[int | None]:
    """Of each piece one before it that is like it."""
    return [next((at for at in range(number) if pieces[at] == piece), None) for number, piece in enumerate(pieces)]


class _Laying:
    """Whether the pieces can lie in the order of a course; if so, where."""

    def __init__(self, pieces: Sequence[Piece], room: Micro, axis: int, stands: Sequence[Stand], steps: Steps) -> None:
        self.pieces, self.room, self.axis, self.stands, self.steps = pieces, room, axis, stands, steps
        self.places: Places | None = None

    def __call__(self, course: Course) -> bool:
        """Raises OutOfStepsError."""
        self.steps.take(COST_OF_COURSE)
        begun = sorted((self.stands[number].piece, start, self.stands[number].side) for start, number in course)
        standing = [
            replace(piece, ways=tuple(way for way in piece.ways if way[self.axis] == side))
            for piece, (_, _, side) in zip(self.pieces, begun, strict=True)
        ]
        self.places = _InCourse(standing, self.room, self.axis, [start for _, start, _ in begun]).places()
        return self.places is not None


class _InCourse(Search):
    """A search that keeps to one course: where two pieces lie across together, another axis parts them."""

    def __init__(self, pieces: Sequence[Piece], room: Micro, axis: int, starts: Sequence[int]) -> None:
        super().__init__(pieces, room, STEPS_IN_COURSE)
        self.axis, self.starts, self._alike = axis, starts, []

    def _relations(self, i: int, j: int) -> tuple[Relation, ...]:
        relations = super()._relations(i, j)
        for relation, near, far in (((self.axis, True), i, j), ((self.axis, False), j, i)):
            if self.starts[near] + self.pieces[near].ways[0][self.axis] <= self.starts[far] and relation in relations:
                return (relation,)
        return tuple(relation for relation in relations if relation[0] != self.axis)

    def _halve_by_mirror(self, state: State) -> None:
        """Nothing: the course is one of two mirrored ones already."""


class Beside:
    """Whether the pieces of some stands may lie beside one another across the axis; False is a proof."""

    def __init__(self, stands: Sequence[Stand], sides: Face, steps: Steps) -> None:
        self.stands, self.sides, self.steps = stands, sides, steps
        self._known: dict[tuple[int, ...], bool] = {}

    def __call__(self, numbers: tuple[int, ...]) -> bool:
        """numbers: of the stands, in order. Raises OutOfStepsError where the whole question has none left."""
        if len(numbers) < 2:
            return True
        if numbers not in self._known:
            self._known[numbers] = all(self._along(numbers, one) for one in (0, 1))
        return self._known[numbers]

    def _along(self, numbers: tuple[int, ...], one: int) -> bool:
        faces = [[(face[one], (face[1 - one], 1)) for face in self.stands[number].faces] for number in numbers]
        steps = Steps(STEPS_ACROSS)
        try:
            return Courses(stands_along(faces), (self.sides[one], self.sides[1 - one]), steps).first() is not None
        except OutOfStepsError:
            return True
        finally:
            self.steps.take(STEPS_ACROSS - max(0, steps.left))
