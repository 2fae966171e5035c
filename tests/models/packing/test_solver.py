"""The general constraint solver as the extra: its placements stand the check, and as referee it agrees with our own.

The solver is CP-SAT of OR-Tools, a library of its own (Apache 2.0); it shares the pair relations with `search` but no
code. Without the extra these tests are skipped; in CI, where it is locked and installed, they fail.
"""

from __future__ import annotations

import os
import random
from importlib.util import find_spec
from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.errors import SettingsError
from models.packing import solver
from models.packing.bounds import all_pieces
from models.packing.fit import SOLVER_WORK, Effort, Verdict, fit, usual_effort
from models.packing.needed import Contents, contents, room, shape
from models.packing.placement import faults
from tests.models.packing.goods import fits_on_grid, item
from tests.models.packing.test_search import in_micro, some_contents
from tests.models.packing.tight import KINDS, TightSet, tight_set
from tests.sampling import tries

IS_INSTALLED = find_spec("ortools") is not None
with_solver = pytest.mark.skipif(
    not IS_INSTALLED and not os.environ.get("CI"), reason="needs the extra `solver` (pip install 'dunnage[solver]')"
)
# Of the first searches none, so that the solver is asked.
SOLVER_ONLY = Effort(blocks=1, kept=1, steps=0, slices=0, solver_work=2 * SOLVER_WORK)
TRIED = 100


def said(asked: TightSet) -> bool | None:
    """What the solver alone says: fits, does not fit, or nothing within its work."""
    lines = shape(asked.packed)
    try:
        found = solver.places(all_pieces(lines), room(asked.inside_in, asked.packed.clearance_in), SOLVER_WORK / 8)
    except solver.OutOfWorkError:
        return None
    return found is not None


@pytest.mark.published
@pytest.mark.slow
@with_solver
def test_hundred_fits_agree_with_a_general_solver() -> None:
    """L. Perron and F. Didier, CP-SAT, OR-Tools 9 (2024), as referee: neither contradicts the other."""
    answered = 0
    for number in range(TRIED):
        asked = tight_set(KINDS[number % 3], 5 + number % 6, random.Random(50_000 + number))
        verdict, shown = fit(asked.packed, asked.inside_in, Effort(steps=300)).verdict, said(asked)
        if verdict is not Verdict.UNDECIDED and shown is not None:
            answered += 1
            assert (verdict is Verdict.FITS) == shown, asked
    assert answered >= 0.8 * TRIED


@with_solver
@pytest.mark.parametrize("seed", range(6))
def test_what_the_solver_places_stands_the_check(seed: int) -> None:
    asked = tight_set("pinwheels", 9, random.Random(seed))
    answer = fit(asked.packed, asked.inside_in, SOLVER_ONLY)
    assert answer.verdict is Verdict.FITS
    assert faults(answer.placements, asked.packed, asked.inside_in) == []


@with_solver
def test_the_solver_keeps_glass_free_from_above() -> None:
    glass, lid = item("glass", 2, 2, 1, turns="flat", may_lie_under=False), item("lid", 2, 1, 1, turns="flat")
    space = room((2, 2, 2), 0.0)
    placed = solver.places(all_pieces(shape(contents([(glass, 1), (lid, 2)]))), space, SOLVER_WORK)
    assert placed is not None
    assert [start[2] > 0 for start, sides in placed] == [sides[1] == sides[0] for _, sides in placed]
    assert solver.places(all_pieces(shape(contents([(glass, 2)]))), space, SOLVER_WORK) is None


@with_solver
@settings(derandomize=True, deadline=None, max_examples=tries(60))
@given(some_contents(), st.tuples(*[st.integers(1, 4)] * 3))
def test_the_solver_answers_as_a_search_of_every_place_does(packed: Contents, inside: tuple[int, int, int]) -> None:
    """Alike pieces, glass and every word for turning, so that neither order nor mirror may lose an arrangement."""
    shown = solver.places(all_pieces(shape(packed)), in_micro(inside), SOLVER_WORK)
    assert (shown is not None) == fits_on_grid(packed, inside)


@with_solver
def test_the_solver_ends_with_its_work() -> None:
    asked = tight_set("bent", 12, random.Random(1))
    pieces = all_pieces(shape(asked.packed))
    with pytest.raises(solver.OutOfWorkError):
        solver.places(pieces, room((60, 60, 60), 0.0), 1e-9)


def test_nobody_asks_the_solver_unless_reported() -> None:
    assert usual_effort(False).solver_work == 0 < usual_effort(True).solver_work
    pieces = contents([(item("brick", 1, 2, 4), 9)])
    with mock.patch.object(solver, "places", side_effect=AssertionError):
        assert fit(pieces, (6, 6, 2), Effort(steps=5)).verdict is not Verdict.FITS


def test_without_the_extra_the_shop_is_told_what_to_install() -> None:
    asked = tight_set("pinwheels", 9, random.Random(0))
    absent = mock.patch.object(solver, "import_module", side_effect=ImportError)
    with absent, pytest.raises(SettingsError, match=r"dunnage\[solver\]"):
        fit(asked.packed, asked.inside_in, SOLVER_ONLY)
