"""Sides raised by what stays empty in line with them: the answer stays, by a search of every place and by hand."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from models.packing.bounds import all_pieces
from models.packing.fit import Effort, Verdict, fit
from models.packing.lifted import lifted
from models.packing.needed import MICRO, Contents, contents, room, shape
from models.packing.search import Search
from tests.models.packing.goods import fits_on_grid, item
from tests.models.packing.test_search import in_micro, some_contents
from tests.sampling import tries


@settings(derandomize=True, deadline=None, max_examples=tries(300))
@given(some_contents(), st.tuples(*[st.integers(1, 5)] * 3))
def test_raised_pieces_lie_in_a_room_exactly_where_they_did(packed: Contents, inside: tuple[int, int, int]) -> None:
    """Alike pieces, glass and every word for turning; the referee tries every place on the grid."""
    space = in_micro(inside)
    pieces = all_pieces(shape(packed))
    raised = lifted(pieces, space)
    places = Search(raised.pieces, space, 100_000).places()
    assert (places is not None) == fits_on_grid(packed, inside)
    if places is not None:
        own = [way for _, way in raised.by_own_sides(places)]
        assert all(way in piece.ways for piece, way in zip(pieces, own, strict=True))


@settings(derandomize=True, deadline=None, max_examples=tries(150))
@given(some_contents(), st.tuples(*[st.integers(2, 5)] * 3))
def test_placements_of_raised_pieces_stand_the_check_by_their_own_sides(
    packed: Contents, inside: tuple[int, int, int]
) -> None:
    answer = fit(packed, inside, Effort(blocks=1))
    assert answer.verdict is (Verdict.FITS if fits_on_grid(packed, inside) else Verdict.DOES_NOT_FIT)


def test_what_nothing_fits_above_reaches_the_lid() -> None:
    """Two bricks of 4 x 3 x 5 and 4 x 2 x 6 in 4 x 5 x 7: along 7 nothing else fits, along 5 they fill the room."""
    bricks = [(item("brick", 4, 3, 5, turns="upright"), 1), (item("thin", 4, 2, 6, turns="upright"), 1)]
    raised = lifted(all_pieces(shape(contents(bricks))), room((4, 5, 7), 0.0))
    slack = room((4, 5, 7), 0.0)[2] - 7 * MICRO
    heights = sorted(way[2] for piece in raised.pieces for way in piece.ways)
    assert heights == [7 * MICRO + slack] * len(heights)
    assert {own[2] for each in raised.own for own in each.values()} == {5 * MICRO, 6 * MICRO}


def test_of_alike_pieces_that_lie_one_after_the_other_none_is_raised() -> None:
    """Two of 4 along 10 leave 2 between them; each raised by it they would be 6 and 6."""
    pair = contents([(item("bar", 4, 2, 2, turns="upright"), 2)])
    raised = lifted(all_pieces(shape(pair)), room((10, 2, 2), 0.0))
    assert {way[0] for piece in raised.pieces for way in piece.ways if way[0] > 2.5 * MICRO} == {4 * MICRO}
    assert fit(pair, (10, 2, 2)).verdict is Verdict.FITS
