"""Whether goods fit a carton: fits, with a placement; does not fit, with a reason; or undecided.

Bounds come first, then blocks joined face to face (whose rows are placements), then for a dozen pieces at most, with
their sides raised as far as nothing changes (`lifted`): blocks that leave next to nothing empty, an exhaustive search
with a limit on its steps, slices that would stay too empty, and, where asked for, a general constraint solver.
"Undecided" is an answer of its own and is never shown as a fit. Every placement found is checked by `placement.faults`,
which shares no code with what found it; one that failed would be undecided too.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from enum import IntEnum

from models.packing import solver
from models.packing.bounds import all_pieces, reason_against
from models.packing.bundles import variants
from models.packing.fronts import Placed, front
from models.packing.lifted import lifted
from models.packing.needed import MICRO, Contents, Micro, PackedItem, Piece, Sides, grown, piece, room, shape, stands
from models.packing.placement import Placement, faults
from models.packing.search import OutOfStepsError, Places, Search
from models.packing.shares import narrowing
from models.packing.slices import Ways, is_tight, laid_by_courses
from models.packing.tight import tight_placement

Lines = tuple[tuple[Piece, int], ...]


class Verdict(IntEnum):
    """The three answers; as whole numbers, so that a table of answers is an array."""

    DOES_NOT_FIT = 0
    FITS = 1
    UNDECIDED = -1


@dataclass(frozen=True)
class Effort:
    """How hard to try.

    blocks: blocks kept per set of pieces. built: most pieces that are placed at all; beyond, only bounds are asked.
    kept: tight blocks kept of those with equally many pieces. steps: of the exhaustive search. slices: steps along one
    axis before its slices are given up. searched: most pieces that any of these is asked about. solver_work: most work
    of the general constraint solver in its own counted units, of which a core does about one a second; nothing for not
    asking it. It needs the extra `solver`.
    All limits are counts, so that an answer never depends on the machine. Whatever the number of pieces, at most
    `fronts.MOST_JOINS` pairs of sets are joined, each in at most 3 x `blocks`² ways, before `steps` of search. With the
    defaults that takes a core about a tenth of a second for eight pieces, at most five for any number.
    """

    blocks: int = 40
    built: int = 200
    kept: int = 600
    steps: int = 30_000
    slices: int = 200_000
    searched: int = 12
    solver_work: float = 0.0


@dataclass(frozen=True)
class Answer:
    """A verdict, its reason in words, and the placement that proves a fit (empty otherwise)."""

    verdict: Verdict
    reason: str
    placements: tuple[Placement, ...] = ()


@dataclass(frozen=True)
class _Outcome:
    verdict: Verdict
    reason: str
    places: tuple[Placed, ...] = ()


USUAL = Effort()
# Steps of the search before pieces are gone through slice by slice.
FIRST_STEPS = 600
SOLVER_WORK = 2.5


def usual_effort(with_solver: bool) -> Effort:
    """The usual effort; where the shop has the general solver, that one instead of most steps of the search."""
    return replace(USUAL, steps=FIRST_STEPS, solver_work=SOLVER_WORK) if with_solver else USUAL


# By geometry alone: contents of other names but the same sides share an outcome.
Outcomes = dict[tuple[Lines, Micro, Effort], _Outcome]


@dataclass
class Known:
    """Answers that a caller keeps between questions, and how hard each is tried unless the question says otherwise."""

    effort: Effort = USUAL
    outcomes: Outcomes = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self.outcomes)


def fit(packed: Contents, inside_in: Sides, effort: Effort | None = None, known: Known | None = None) -> Answer:
    """Whether the contents fit a carton of these inside sides (length, width, height), all pieces square to the walls.

    known: kept by the caller; answers are taken from it and added to it. Raises SettingsError where the effort asks for
    a solver that is not installed. Goods that may be wrapped together are tried as bundles too.
    """
    known = Known() if known is None else known
    answers = []
    for each in (packed, *variants(packed)):
        answers.append(as_it_is(each, inside_in, effort, known))
        if answers[-1].verdict is Verdict.FITS:
            return answers[-1]
    still_open = (answer for answer in answers if answer.verdict is Verdict.UNDECIDED)
    return next(still_open, answers[0])


def as_it_is(packed: Contents, inside_in: Sides, effort: Effort | None, known: Known) -> Answer:
    """The same without a look at bundles."""
    lines, space = shape(packed), room(inside_in, packed.clearance_in)
    outcome = _looked_up(lines, space, effort or known.effort, known.outcomes)
    if outcome.verdict is not Verdict.FITS:
        return Answer(outcome.verdict, outcome.reason)
    placements = named(packed, outcome.places)
    if faults(placements, packed, inside_in):
        return Answer(Verdict.UNDECIDED, "a placement was found but did not hold when checked")
    return Answer(Verdict.FITS, outcome.reason, placements)


def _looked_up(lines: Lines, space: Micro, effort: Effort, outcomes: Outcomes) -> _Outcome:
    key = (lines, space, effort)
    if key not in outcomes:
        outcomes[key] = _outcome(lines, space, effort)
    return outcomes[key]


def _outcome(lines: Lines, space: Micro, effort: Effort) -> _Outcome:
    if min(space) <= 0:
        return _Outcome(Verdict.DOES_NOT_FIT, "the clearance alone fills the carton")
    pieces = sum(quantity for _, quantity in lines)
    if pieces == 1 and (way := _standing(lines[0][0], space)):
        return _Outcome(Verdict.FITS, "one piece, set into the corner", ((0, (0, 0, 0), way),))
    reason = reason_against(lines, space)
    if reason:
        return _Outcome(Verdict.DOES_NOT_FIT, reason)
    if pieces > effort.built:
        return _Outcome(Verdict.UNDECIDED, f"{pieces} pieces are more than are placed")
    blocks = front(lines, space, effort.blocks)
    if len(blocks.sizes):
        return _Outcome(Verdict.FITS, "a placement was built block by block", tuple(blocks.placed(0)))
    if pieces > effort.searched:
        return _Outcome(Verdict.UNDECIDED, f"{pieces} pieces are more than are searched exhaustively")
    return _of_pieces(lines, space, effort)


def _standing(alone: Piece, space: Micro) -> Micro | None:
    """The first way in which the piece stands within the space."""
    return next((way for way in alone.ways if all(side <= most for side, most in zip(way, space, strict=True))), None)


def _of_pieces(lines: Lines, space: Micro, effort: Effort) -> _Outcome:
    """The tries that place single pieces, the quickest first."""
    numbers = [number for number, (_, quantity) in enumerate(lines) for _ in range(quantity)]
    raised = lifted(all_pieces(lines), space)
    found = _of_raised(raised.pieces, space, effort)
    if not found.places:
        return found
    places = raised.by_own_sides([(start, way) for _, start, way in found.places])
    return replace(found, places=tuple((number, *place) for number, place in zip(numbers, places, strict=True)))


def _of_raised(pieces: tuple[Piece, ...], space: Micro, effort: Effort) -> _Outcome:
    ways = narrowing(pieces, space).ways
    if not all(ways):
        return _Outcome(Verdict.DOES_NOT_FIT, "the pieces leave one another no room, however they are turned")
    tight = tight_placement(pieces, ways, space, effort.kept)
    if tight:
        return _fitting("a placement was built with next to nothing left empty", tight)
    try:
        return _exhausted(Search(pieces, space, min(effort.steps, FIRST_STEPS)).places())
    except OutOfStepsError:
        return _beyond_first_steps(pieces, ways, space, effort)


def _beyond_first_steps(pieces: tuple[Piece, ...], ways: Ways, space: Micro, effort: Effort) -> _Outcome:
    if is_tight(ways, space):
        try:
            return _by_courses(laid_by_courses(pieces, ways, space, effort.slices))
        except OutOfStepsError:
            # What slices leave open the others hardly decide.
            steps = min(effort.steps, max(FIRST_STEPS, effort.steps // 2))
            effort = replace(effort, steps=steps, solver_work=effort.solver_work / 2)
    try:
        return _exhausted(Search(pieces, space, effort.steps).places())
    except OutOfStepsError:
        return _by_solver(pieces, space, effort)


def _by_courses(places: Places | None) -> _Outcome:
    if places is None:
        return _Outcome(
            Verdict.DOES_NOT_FIT, "gone through slice by slice, there is no arrangement square to the walls"
        )
    return _fitting("a placement was found slice by slice", places)


def _exhausted(places: Places | None) -> _Outcome:
    if places is None:
        return _Outcome(Verdict.DOES_NOT_FIT, "every arrangement square to the walls was tried")
    return _fitting("a placement was found by exhaustive search", places)


def _by_solver(pieces: tuple[Piece, ...], space: Micro, effort: Effort) -> _Outcome:
    """What the general solver says where it is asked; its placements are checked like any other."""
    tried = f"neither placed nor disproved within {effort.steps} steps of search"
    if not effort.solver_work:
        return _Outcome(Verdict.UNDECIDED, tried)
    try:
        places = solver.places(pieces, space, effort.solver_work)
    except solver.OutOfWorkError:
        return _Outcome(Verdict.UNDECIDED, f"{tried}, nor by a general solver")
    if places is None:
        return _Outcome(
            Verdict.DOES_NOT_FIT, "a general solver proved that there is no arrangement square to the walls"
        )
    return _fitting("a placement was found by a general solver", places)


def _fitting(reason: str, places: Places) -> _Outcome:
    return _Outcome(Verdict.FITS, reason, tuple((number, *place) for number, place in enumerate(places)))


def named(packed: Contents, places: Iterable[Placed]) -> tuple[Placement, ...]:
    """Places of nameless pieces as placements of the items that were packed, clearance taken off again."""
    numbers = {line[0]: number for number, line in enumerate(shape(packed))}
    waiting: dict[int, list[PackedItem]] = {}
    for item in packed.pieces:
        waiting.setdefault(numbers[piece(item, packed.clearance_in)], []).append(item)
    return tuple(_named(waiting[number].pop(0), start, way, packed.clearance_in) for number, start, way in places)


def _named(item: PackedItem, start: Micro, way: Micro, clearance_in: float) -> Placement:
    # Half a clearance lies between wall and room, half between the grown piece's side and the piece.
    left, front_, bottom = (side / MICRO + clearance_in for side in start)
    stated = stands(item.sides_in, item.turns)
    sides = next(sides for sides in stated if grown(sides, clearance_in) == way)
    return Placement(item, left, front_, bottom, sides)
