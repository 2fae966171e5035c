"""Whether pieces can lie in a room at all, by exhaustive search; the last word where bounds and joins do not tell.

Every two pieces must lie apart along at least one axis, one before the other. The search settles for each pair which
(one of six relations) and for each piece how it stands, always the choice with the fewest ways left, and keeps for
each piece the earliest and latest place that the relations so far leave it. Earliest places that do not overlap are a
placement; no choice left is a proof that there is none. It is complete for placements square to the walls.
Ordering by relations: C. S. Chen, S. M. Lee and Q. S. Shen, "An analytical model for the container loading problem",
European Journal of Operational Research 80 (1995).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from models.packing.needed import Micro, Piece
from models.packing.shares import narrowing

# (axis, whether the first piece of the pair comes before the second)
Relation = tuple[int, bool]
Pair = tuple[int, int]
Places = list[tuple[Micro, Micro]]

# Settling how a piece stands takes as long as so many other steps, and one more for so many triples of scales.
WAY_STEPS, TRIPLES_A_STEP = 2, 800


class OutOfStepsError(Exception):
    """The search used up its steps; the answer stays open."""


@dataclass
class State:
    """What is still open: ways per piece, relations per pair, earliest and latest start per piece and axis.

    least: the least side of each piece along each axis, over its ways. touched: pieces of which something was settled
    whose consequences are not drawn yet.
    """

    ways: list[tuple[Micro, ...]]
    relations: dict[Pair, tuple[Relation, ...]]
    earliest: list[list[int]]
    latest: list[list[int]]
    least: list[Micro]
    touched: set[int]

    def copied(self) -> State:
        starts = ([start[:] for start in self.earliest], [start[:] for start in self.latest])
        return State(self.ways[:], dict(self.relations), *starts, self.least[:], set())

    def stand(self, number: int, ways: tuple[Micro, ...]) -> None:
        """The piece has these ways left."""
        if len(ways) < len(self.ways[number]):
            self.ways[number], self.least[number] = ways, _least(ways)
            self.touched.add(number)


class Search:
    """One exhaustive search. pieces: every single piece, alike ones next to each other, the largest first."""

    def __init__(self, pieces: Sequence[Piece], room: Micro, most_steps: int) -> None:
        self.pieces, self.room, self.steps_left = tuple(pieces), room, most_steps
        self.narrowing = narrowing(self.pieces, room)
        self._way_steps = WAY_STEPS + self.narrowing.shares.triples // TRIPLES_A_STEP
        count = len(self.pieces)
        self._pairs = [[(min(i, j), max(i, j)) for j in range(count) if j != i] for i in range(count)]
        ahead = range(1, count)
        self._alike = [(i - 1, i) for i in ahead if self.pieces[i - 1] == self.pieces[i]]

    def places(self) -> Places | None:
        """(start, sides) of each piece in order, or None when none can exist. Raises OutOfStepsError."""
        state = self._opening()
        return self._settled(state) if all(state.ways) else None

    def _opening(self) -> State:
        count = len(self.pieces)
        ways = list(self.narrowing.ways)
        relations = {(i, j): self._relations(i, j) for i in range(count) for j in range(i + 1, count)}
        least = [_least(each) if each else self.room for each in ways]
        starts = ([[0, 0, 0] for _ in ways], [list(self.room) for _ in ways])
        state = State(ways, relations, *starts, least, set(range(count)))
        if all(ways):
            self._halve_by_mirror(state)
        return state

    def _relations(self, i: int, j: int) -> tuple[Relation, ...]:
        bears = (self.pieces[j].bears, self.pieces[i].bears)
        return tuple((axis, first) for axis in range(3) for first in (True, False) if axis < 2 or bears[first])

    def _halve_by_mirror(self, state: State) -> None:
        """Of two mirrored placements one is enough: the first piece lies in the near half along each axis.

        Of pieces that lie alike the first is the nearest by name only (`_narrow_alike`), so it holds for them too.
        """
        for axis in range(3 if all(piece.bears for piece in self.pieces) else 2):
            state.latest[0][axis] = (self.room[axis] - min(way[axis] for way in state.ways[0])) // 2

    def _settled(self, state: State) -> Places | None:
        self.steps_left -= 1
        if self.steps_left < 0:
            raise OutOfStepsError
        if not self._narrowed(state):
            return None
        options = self._next_choice(state)
        if options is None:
            return [(_micro(start), ways[0]) for start, ways in zip(state.earliest, state.ways, strict=True)]
        found = (self._settled(option) for option in options)
        return next((places for places in found if places is not None), None)

    def _narrowed(self, state: State) -> bool:
        """Draws every consequence of what was settled; False when something has no way left.

        Only pieces that were touched, and their pairs, can have any: so the same is found as by asking all of them.
        """
        while state.touched:
            touched, state.touched = state.touched, set()
            alike = (pair for pair in self._alike if pair[0] in touched or pair[1] in touched)
            if not all(self._narrow_piece(state, number) for number in touched):
                return False
            if not all(_narrow_alike(state, i, j) for i, j in alike):
                return False
            pairs = {pair for number in touched for pair in self._pairs[number]}
            if not all(_narrow_pair(state, pair) for pair in pairs):
                return False
        return True

    def _narrow_piece(self, state: State, number: int) -> bool:
        """Keeps latest places within the room and drops ways that no longer fit. False when nothing is left."""
        earliest, latest, least = state.earliest[number], state.latest[number], state.least[number]
        for axis in range(3):
            latest[axis] = min(latest[axis], self.room[axis] - least[axis])
            if earliest[axis] > latest[axis]:
                return False
        ways = state.ways[number]
        if len(ways) == 1:
            return True
        left = [self.room[axis] - earliest[axis] for axis in range(3)]
        kept = tuple(way for way in ways if way[0] <= left[0] and way[1] <= left[1] and way[2] <= left[2])
        if kept:
            state.stand(number, kept)
        return bool(kept)

    def _next_choice(self, state: State) -> Iterator[State] | None:
        """The states to try next, or None when the earliest places are a placement."""
        free = next((number for number, ways in enumerate(state.ways) if len(ways) > 1), None)
        clashes = [pair for pair in state.relations if _clash(state, pair)]
        tightest = min(clashes, key=lambda pair: len(state.relations[pair]), default=None)
        if tightest is not None and (free is None or len(state.relations[tightest]) == 2):
            return self._by_relation(state, tightest)
        return None if free is None else self._by_way(state, free)

    def _by_relation(self, state: State, pair: Pair) -> Iterator[State]:
        for relation in state.relations[pair]:
            option = state.copied()
            option.relations[pair] = (relation,)
            option.touched.update(pair)
            yield option

    def _by_way(self, state: State, number: int) -> Iterator[State]:
        for way in state.ways[number]:
            self.steps_left -= self._way_steps
            option = state.copied()
            option.stand(number, (way,))
            left = self.narrowing.narrowed(option.ways)
            if all(left):
                for piece, ways in enumerate(left):
                    option.stand(piece, ways)
                yield option


def _micro(start: list[int]) -> Micro:
    return (start[0], start[1], start[2])


def _least(ways: tuple[Micro, ...]) -> Micro:
    return ways[0] if len(ways) == 1 else _micro([min(way[axis] for way in ways) for axis in range(3)])


def _narrow_alike(state: State, i: int, j: int) -> bool:
    """Alike pieces are put in order of way, then of place along the length, so that no order is tried twice."""
    first, second = state.ways[i], state.ways[j]
    before = tuple(way for way in first if way <= second[-1])
    after = tuple(way for way in second if way >= first[0])
    if not before or not after:
        return False
    state.stand(i, before)
    state.stand(j, after)
    if before == after and len(first) == len(second) == 1:
        state.relations[i, j] = tuple(relation for relation in state.relations[i, j] if relation != (0, False))
    return True


def _narrow_pair(state: State, pair: Pair) -> bool:
    """Drops relations without room; a single one left moves both pieces. False when none is left."""
    relations, (i, j) = state.relations[pair], pair
    one, other = (
        (state.earliest[i], state.least[i], state.latest[j]),
        (state.earliest[j], state.least[j], state.latest[i]),
    )
    kept = []
    for relation in relations:
        axis, is_first = relation
        earliest, least, latest = one if is_first else other
        if earliest[axis] + least[axis] <= latest[axis]:
            kept.append(relation)
    if len(kept) < len(relations):
        state.relations[pair] = tuple(kept)
    if len(kept) == 1:
        _move_apart(state, pair, kept[0])
    return bool(kept)


def _move_apart(state: State, pair: Pair, relation: Relation) -> None:
    axis, (near, far) = relation[0], pair if relation[1] else pair[::-1]
    after = state.earliest[near][axis] + state.least[near][axis]
    before = state.latest[far][axis] - state.least[near][axis]
    if after > state.earliest[far][axis]:
        state.earliest[far][axis] = after
        state.touched.add(far)
    if before < state.latest[near][axis]:
        state.latest[near][axis] = before
        state.touched.add(near)


def _clash(state: State, pair: Pair) -> bool:
    """Whether two pieces whose way is settled overlap in their earliest places (or lie where they may not)."""
    relations, (i, j) = state.relations[pair], pair
    if len(relations) == 1 or len(state.ways[i]) > 1 or len(state.ways[j]) > 1:
        return False
    return not any(_is_before(state, *(pair if first else pair[::-1]), axis) for axis, first in relations)


def _is_before(state: State, near: int, far: int, axis: int) -> bool:
    return state.earliest[near][axis] + state.ways[near][0][axis] <= state.earliest[far][axis]
