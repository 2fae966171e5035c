"""Cartons and bounds just at their limits, where one thousandth more or less would change the answer."""

from __future__ import annotations

import math

import pytest

from models.errors import ContractError
from models.packing.bounds import all_pieces, fitting_ways, reason_against
from models.packing.geometry import Carton, cut_down, cut_heights, inside_at, outside_at, stocked_carton
from models.packing.needed import Micro, Piece

SLIT = Carton("C-16", (16, 8, 12), board_in=0.25, is_cuttable=True, minimum_height_in=4)
ROOM: Micro = (10, 10, 10)


def piece(*ways: Micro, bears: bool = True) -> Piece:
    return Piece(ways, bears)


@pytest.mark.parametrize("inside", [(10, 0, 6), (math.inf, 8, 6), (10, 8, math.inf)])
def test_sides_of_nothing_and_without_end_are_refused(inside: tuple[float, float, float]) -> None:
    with pytest.raises(ContractError, match="above zero"):
        Carton("C-7", inside)


def test_a_square_opening_and_walls_without_thickness_are_cartons() -> None:
    assert Carton("C-7", (8, 8, 6), outside_in=(8, 8, 6)).allowances_in == (0, 0, 0)


def test_a_catalogue_row_without_an_inside_is_refused() -> None:
    with pytest.raises(ContractError, match="C-7"):
        stocked_carton({"carton_code": "C-7", "inside_length_in": 10.0, "inside_width_in": 8.0})


def test_the_lowest_and_the_whole_height_may_be_had() -> None:
    assert inside_at(SLIT, 4) == (16, 8, 4)
    assert inside_at(SLIT, 12) == (16, 8, 12)
    assert inside_at(Carton("C-1", (10, 8, 6), board_in=0.1), 6) == (10, 8, 6)


@pytest.mark.parametrize(("flap", "boards"), [(4, 0), (4.01, 1), (8, 1), (8.01, 2)])
def test_flaps_that_just_meet_add_no_board(flap: float, boards: int) -> None:
    # The outer pair meets across the width of 8 in, the inner one along the length of 16 in.
    assert outside_at(SLIT, 7, flap)[2] == pytest.approx(7 + 4 * 0.25 + boards * 0.25)


def test_all_the_flap_that_the_wall_gives_is_left_untrimmed() -> None:
    # Needed 4 in and 4 in of wall make 8 in, twice the needed: nothing to trim. Then a quarter of an inch less.
    assert (cut_down(SLIT, 8).flap_in, cut_down(SLIT, 8).trim_at_in) == (8, None)
    assert (cut_down(SLIT, 8.25).flap_in, cut_down(SLIT, 8.25).trim_at_in) == (7.75, None)


def test_a_minimum_a_hair_above_a_step_is_kept() -> None:
    assert cut_heights(Carton("C-1", (10, 8, 6), is_cuttable=True, minimum_height_in=4.00001)) == [4.00001, 5, 6]
    assert cut_heights(Carton("C-1", (10, 8, 6.00001), is_cuttable=True, minimum_height_in=5)) == [5, 6.00001]
    assert cut_heights(Carton("C-1", (10, 8, 6.5), is_cuttable=True, minimum_height_in=5)) == [5, 6, 6.5]


def test_a_piece_as_large_as_the_room_fits_and_one_larger_does_not() -> None:
    assert fitting_ways(piece((10, 10, 10)), ROOM) == ((10, 10, 10),)
    assert [fitting_ways(piece(way), ROOM) for way in ((11, 1, 1), (1, 11, 1), (1, 1, 11))] == [(), (), ()]
    assert reason_against([(piece((10, 10, 10)), 1)], ROOM) is None
    assert "larger than the carton" in str(reason_against([(piece((11, 1, 1)), 1)], ROOM))


def test_every_piece_of_a_line_counts() -> None:
    one, two = piece((1, 1, 1)), piece((2, 2, 2))
    assert all_pieces([(one, 2), (two, 1)]) == (one, one, two)


def test_two_large_pieces_need_an_axis_and_one_needs_none() -> None:
    large = piece((6, 6, 6))
    assert reason_against([(large, 1)], ROOM) is None
    assert "two of the pieces" in str(reason_against([(large, 2)], ROOM))
    assert "two of the pieces" in str(reason_against([(large, 1), (piece((5, 5, 5)), 1)], ROOM))
    assert reason_against([(large, 1), (piece((4, 4, 4)), 1)], ROOM) is None


def test_on_what_bears_nothing_nothing_lies() -> None:
    tray = (10, 10, 4)
    assert reason_against([(piece(tray), 2)], ROOM) is None
    assert reason_against([(piece(tray), 1), (piece(tray, bears=False), 1)], ROOM) is None
    assert "two of the pieces" in str(reason_against([(piece(tray, bears=False), 2)], ROOM))


def test_the_floor_and_the_volume_may_be_full() -> None:
    strip = piece((10, 5, 1), bears=False)
    assert reason_against([(strip, 2)], ROOM) is None
    assert "floor" in str(reason_against([(piece((10, 4, 1), bears=False), 3)], ROOM))
    block = piece((10, 5, 1))
    assert reason_against([(block, 20)], ROOM) is None
    assert "volume" in str(reason_against([(block, 21)], ROOM))
