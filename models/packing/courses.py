"""Courses of pieces along one axis: which begin at which place, and with which side, without too much left empty.

Pushed towards the near wall, every piece begins there or where another one ends. Between two such places the same
pieces lie across the axis, and what their faces leave free of the room's stays empty all over that slice. So every
course can be gone through: it ends where its slices keep more empty than the room has to spare, where the pieces
across do not lie beside one another, or where what is still to come leaves too much empty in line with them (`waste`).
Of two mirrored arrangements one keeps at most half of what is empty in the near half, and pushing only takes goods
there. No course at all is a proof; a course is no placement.

One axis first: E. Huang and R. E. Korf, "Optimal rectangle packing: an absolute placement approach", Journal of
Artificial Intelligence Research 46 (2013). Faces as a resource along the axis: A. Aggoun and N. Beldiceanu, "Extending
CHIP in order to solve complex scheduling and placement problems", Mathematical and Computer Modelling 17 (1993).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from models.packing.search import OutOfStepsError
from models.packing.stands import Face, Stand, reach

# Sums of sides looked at in line with the pieces; with more of them hardly a length is left that none fills.
MOST_SUMS = 3_000

# Of each piece that lies across where it ends and the number of its stand, in order.
Across = tuple[tuple[int, int], ...]
# Of each piece that has begun where it begins and the number of its stand.
Course = tuple[tuple[int, int], ...]


@dataclass(slots=True)
class Steps:
    """Steps that are left to a search and to what it asks on the way."""

    left: int

    def take(self, count: int = 1) -> None:
        """Raises OutOfStepsError where there are none left."""
        self.left -= count
        if self.left < 0:
            raise OutOfStepsError


@dataclass(slots=True)
class _Place:
    """A place where pieces may begin, and what is left to spare from there on.

    beyond: what stays empty in line with those across, behind them. until: length to the next end. covered, free: of
    the room's face, by the most and the least that lies across. stands: those that may begin, the shortest first.
    reach: what they may cover, from each stand on.
    """

    at: int
    course: Course
    across: Across
    spare: int
    beyond: int
    until: int
    covered: int
    free: int
    stands: list[tuple[int, Stand]]
    reach: list[int]


class _Begun(NamedTuple):
    """Stands that begin at a place together. until: length of the slice; needed: of the face, to be covered in it."""

    stands: tuple[int, ...]
    until: int
    needed: int
    covered: int
    free: int


class _Waiting(NamedTuple):
    """Pieces that have not begun: their stands, the longest of their shortest sides, and every sum of sides.

    No sums stand for too many.
    """

    stands: list[tuple[int, Stand]]
    longest: int
    sums: list[int]


class Courses:
    """The courses of one question.

    room: its length along the axis and its area across. beside: whether the pieces of these stands may lie across at
    once. twins: of each piece one like it that has to begin before it. accept: whether a course will do; if not, the
    next one is looked for.
    """

    def __init__(
        self,
        stands: Sequence[Stand],
        room: Face,
        steps: Steps,
        beside: Callable[[tuple[int, ...]], bool] | None = None,
        twins: Sequence[int | None] = (),
        accept: Callable[[Course], bool] | None = None,
    ) -> None:
        self.stands, (self.length, self.face), self.steps, self.beside = stands, room, steps, beside
        self.count = 1 + max(stand.piece for stand in stands)
        each = [[stand for stand in stands if stand.piece == number] for number in range(self.count)]
        self.sides = [[stand.side for stand in of_piece] for of_piece in each]
        least = (min(stand.side * stand.least for stand in of_piece) for of_piece in each)
        self.spare = self.length * self.face - sum(least)
        self.before = [0 if twin is None else 1 << twin for twin in twins or [None] * self.count]
        self.accept, self.refused = accept, 0
        self._failed: dict[tuple[int, int, Across], int] = {}
        self._waiting: dict[int, _Waiting] = {0: _Waiting([], 0, [0])}

    def first(self) -> Course | None:
        """The first course of all pieces, or None where there is none. Raises OutOfStepsError."""
        whole = (1 << self.count) - 1
        start = self._place(0, (), (), whole, self.spare) if self.spare >= 0 else None
        return self._onward(start, whole) if start is not None else None

    def _onward(self, place: _Place, waiting: int) -> Course | None:
        return self._with_some(place, waiting) or self._with_none(place, waiting)

    def _behind(self, place: _Place | None, key: tuple[int, int, Across], spare: int) -> Course | None:
        """A course from here on; what fails is kept in mind, unless a whole course did for what came before."""
        before = self.refused
        found = None if place is None else self._onward(place, key[1])
        if found is None and self.refused == before:
            self._failed[key] = spare
        return found

    def _lie_beside(self, numbers: tuple[int, ...]) -> bool:
        return self.beside is None or self.beside(tuple(sorted(numbers)))

    def _place(self, at: int, course: Course, across: Across, waiting: int, spare: int) -> _Place | None:
        """None where more stays empty from here on than there is to spare."""
        left, left_over, lying = self.length - at, self._of(waiting), [self.stands[number] for _, number in across]
        covered, free = sum(stand.most for stand in lying), self.face - sum(stand.least for stand in lying)
        sums = left_over.sums
        ends = zip(across, lying, strict=True)
        beyond = sum(_gap(self.length - end, sums) * stand.least for (end, _), stand in ends)
        if left_over.longest > left or beyond + max(0, self.face - covered) * _gap(left, sums) > spare:
            return None
        usable = [each for each in left_over.stands if each[1].side <= left and each[1].least <= free]
        until = across[0][0] - at if across else left
        return _Place(at, course, across, spare, beyond, until, covered, free, usable, reach(usable))

    def _needed(self, place: _Place, until: int) -> int:
        """What must be covered of the face over that length, for the waste to stay within what there is to spare."""
        most, near = (place.spare - place.beyond) // until, self.length // 2 - place.at
        if near > 0:
            wasted = self.spare - place.spare
            most = min(most, (self.spare // 2 - wasted) // min(until, near))
        return self.face - most

    def _with_some(self, place: _Place, waiting: int) -> Course | None:
        begun = self._begun(place, place.until)
        for at, (_, stand) in enumerate(place.stands):
            this = begun if stand.side >= place.until else self._begun(place, stand.side)
            if this.covered + place.reach[at] < this.needed:
                return None
            if not self.before[stand.piece] & waiting and (found := self._with(place, at, waiting, this)):
                return found
        return None

    def _with_none(self, place: _Place, waiting: int) -> Course | None:
        begun = self._begun(place, place.until)
        return self._after(place, waiting, begun) if place.across and begun.covered >= begun.needed else None

    def _begun(self, place: _Place, until: int) -> _Begun:
        return _Begun((), until, self._needed(place, until), place.covered, place.free)

    def _with(self, place: _Place, at: int, waiting: int, begun: _Begun) -> Course | None:
        """This stand begins here too, beside those chosen so far, and perhaps some after it."""
        self.steps.take()
        stands, reach, before = place.stands, place.reach, self.before
        chosen, until, needed, covered, free = begun
        number, stand = stands[at]
        waiting, covered, free = waiting & ~(1 << stand.piece), covered + stand.most, free - stand.least
        begun = _Begun((*chosen, number), until, needed, covered, free)
        if covered >= needed and (found := self._after(place, waiting, begun)):
            return found
        for other in range(at + 1, len(stands)):
            if covered + reach[other] < needed:
                return None
            stand = stands[other][1]
            is_usable = stand.least <= free and waiting >> stand.piece & 1 and not before[stand.piece] & waiting
            if is_usable and (found := self._with(place, other, waiting, begun)):
                return found
        return None

    def _after(self, place: _Place, waiting: int, begun: _Begun) -> Course | None:
        """The course beyond the slice that begins at the place with these stands."""
        at, spare = place.at + begun.until, place.spare - max(0, self.face - begun.covered) * begun.until
        ends = [(place.at + self.stands[number].side, number) for number in begun.stands]
        together = (*place.across, *ends)
        across = tuple(sorted([each for each in together if each[0] > at]))
        course = (*place.course, *((place.at, number) for number in begun.stands))
        slice_ = tuple([number for _, number in together]) if ends else ()
        if not waiting:
            return course if self._lie_beside(slice_) and self._will_do(course) else None
        key = (at, waiting, across)
        if self._failed.get(key, -1) >= spare:
            return None
        behind = self._place(at, course, across, waiting, spare)
        return self._behind(behind, key, spare) if behind is None or self._lie_beside(slice_) else None

    def _will_do(self, course: Course) -> bool:
        if self.accept is None or self.accept(course):
            return True
        self.refused += 1
        return False

    def _of(self, waiting: int) -> _Waiting:
        if waiting not in self._waiting:
            lowest = waiting & -waiting
            piece, rest = lowest.bit_length() - 1, self._of(waiting & ~lowest)
            stands = [each for each in enumerate(self.stands) if waiting >> each[1].piece & 1]
            longest = max(rest.longest, min(self.sides[piece]))
            self._waiting[waiting] = _Waiting(stands, longest, self._with_sides(rest.sums, self.sides[piece]))
        return self._waiting[waiting]

    def _with_sides(self, before: list[int], sides: Sequence[int]) -> list[int]:
        sums = set(before)
        for side in sides:
            sums.update(so_far + side for so_far in before if so_far + side <= self.length)
        return sorted(sums) if len(sums) <= MOST_SUMS else []


def _gap(length: int, sums: Sequence[int]) -> int:
    """What no sum fills of a length; nothing where the sums are too many."""
    return length - sums[bisect_right(sums, length) - 1] if sums else 0
