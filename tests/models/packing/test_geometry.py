"""Outside sizes, flaps and cut-downs."""

from __future__ import annotations

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.errors import ContractError
from models.packing.geometry import (
    Carton,
    cut_down,
    cut_heights,
    eased_flap_in,
    inside_at,
    needed_flap_in,
    outside_at,
    stocked_carton,
)

LONG = Carton("C-08", (47.5, 7.5, 7.5), board_in=0.16, is_cuttable=True, minimum_height_in=4)


@pytest.mark.published
def test_outer_flaps_of_a_0201_are_half_the_width_and_of_a_0203_the_whole() -> None:
    # FEFCO-ESBO / International Fibreboard Case Code, styles 0201 (outer flaps one half the width, meeting at the
    # centre) and 0203 (outer flaps overlap to the full width), as worded in public box-style lists of the code.
    assert needed_flap_in(LONG) == 7.5 / 2
    assert eased_flap_in(LONG) == 7.5


@pytest.mark.common_practice
def test_outside_is_two_boards_more_and_four_on_the_height() -> None:
    # Common practice, no source.
    stocked = Carton("C-24", (24, 12, 10), board_in=3 / 16)
    assert outside_at(stocked) == (24.375, 12.375, 10.75)


@pytest.mark.common_practice
def test_flaps_of_a_4_by_4_carton() -> None:
    # Common practice, no source: flaps of at least half the carton's width, doubled for ease: 2 in needed, 4 in taken.
    stocked = Carton("C-44", (4, 4, 48), board_in=0.16, is_cuttable=True)
    assert needed_flap_in(stocked) == 2
    assert cut_down(stocked, 40).flap_in == 4
    assert cut_down(stocked, 40, is_eased=False).flap_in == 2


def test_marks_of_a_cut_down() -> None:
    # Inside 16 x 8 x 12 in of 1/4 in board, cut to 7 in: bottom of two boards, so the score is 7.5 in from the table.
    # Above it stand 12 - 7 = 5 in of wall and 4 in of flap; 8 in are kept and 1 in is cut off.
    stocked = Carton("C-16", (16, 8, 12), board_in=0.25, is_cuttable=True, minimum_height_in=4)
    cut = cut_down(stocked, 7)
    assert (cut.flap_in, cut.score_at_in, cut.trim_at_in) == (8, 7.5, 15.5)
    assert outside_at(stocked, 7) == (16.5, 8.5, 8)


def test_overlapping_flaps_lie_a_board_higher() -> None:
    # Cut to 7 in and trimmed to meet: 7 + 4 boards. Outer flaps overlapping: a fifth board. Flaps of 9 in reach past
    # the middle of the 16 in too, so the inner pair overlaps as well.
    stocked = Carton("C-16", (16, 9, 12), board_in=0.25, is_cuttable=True)
    assert cut_down(stocked, 7, is_eased=False).outside_in == (16.5, 9.5, 8)
    assert cut_down(stocked, 11).outside_in == (16.5, 12.25, 9.5)
    assert cut_down(stocked, 7).flap_in == 9
    assert cut_down(stocked, 7).outside_in == (16.5, 9.5, 8.5)


def test_flaps_are_left_as_long_as_they_are_where_they_overlap_less_than_fully() -> None:
    stocked = Carton("C-16", (16, 8, 12), board_in=0.25, is_cuttable=True, minimum_height_in=4)
    assert cut_down(stocked, 11).flap_in == 5
    assert cut_down(stocked, 11).trim_at_in is None
    assert cut_down(stocked, 11, is_eased=False).trim_at_in == 11.5 + 4


def test_cut_heights_run_from_the_minimum_to_the_uncut_height() -> None:
    assert cut_heights(LONG) == [4, 5, 6, 7, 7.5]
    assert cut_heights(Carton("C-1", (10, 8, 6), board_in=0.1)) == [6]
    assert cut_heights(Carton("C-1", (10, 8, 3), board_in=0.1, is_cuttable=True)) == [1, 2, 3]
    centimetres = cut_heights(
        Carton("C-1", (30 / 2.54, 20 / 2.54, 10 / 2.54), is_cuttable=True, minimum_height_in=3), 1 / 2.54
    )
    assert [round(height * 2.54, 6) for height in centimetres] == [8, 9, 10]


def test_learned_outside_sides_win_over_board_thickness() -> None:
    stocked = Carton("C-9", (20, 10, 8), board_in=0.25, outside_in=(20.75, 10.5, 9), is_cuttable=True)
    assert outside_at(stocked) == (20.75, 10.5, 9)
    assert outside_at(stocked, 6) == (20.75, 10.5, 7)


@pytest.mark.parametrize("height", [3.9, 7.6, 0, -1])
def test_a_height_beyond_the_cartons_limits_is_refused(height: float) -> None:
    with pytest.raises(ContractError, match="may not be cut to"):
        cut_down(LONG, height)


def test_a_carton_that_may_not_be_cut_is_not_cut() -> None:
    with pytest.raises(ContractError, match="may not be cut to"):
        inside_at(Carton("C-1", (10, 8, 6), board_in=0.1), 5)


def test_unknown_outside_is_said_and_not_guessed() -> None:
    with pytest.raises(ContractError, match="C-7"):
        outside_at(Carton("C-7", (10, 8, 6)))
    with pytest.raises(ContractError, match="style 0201 only"):
        outside_at(Carton("C-7", (10, 8, 6), board_in=0.2, carton_style="0427"))


def test_a_row_of_the_catalogue_is_a_carton() -> None:
    row = {
        "carton_code": "C-08",
        "carton_style": "0201",
        "board_in": 0.16,
        "minimum_height_in": 4.0,
        "is_cuttable": True,
    }
    inside = {"inside_length_in": 47.5, "inside_width_in": 7.5, "inside_height_in": 7.5}
    outside = {"outside_length_in": 48.0, "outside_width_in": 8.0, "outside_height_in": 8.25}
    assert stocked_carton({**row, **inside, **dict.fromkeys(outside, float("nan"))}) == LONG
    assert stocked_carton({**row, **inside, **outside}).allowances_in == (0.5, 0.5, 0.75)
    unknown = {**row, **inside, "is_cuttable": pd.NA, "minimum_height_in": float("nan"), "carton_style": None}
    assert stocked_carton(unknown).lowest_in == 7.5
    assert outside_at(stocked_carton(unknown)) == outside_at(LONG)


@pytest.mark.parametrize(
    ("inside", "outside"), [((8, 10, 6), None), ((10, 8, 0), None), ((10, 8, 6), (10.5, 7.9, 6.5))]
)
def test_impossible_sides_are_refused(inside: tuple[float, float, float], outside: tuple[float, float, float]) -> None:
    with pytest.raises(ContractError, match="correct cartons"):
        Carton("C-7", inside, outside_in=outside)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(
    st.floats(6, 40), st.floats(3, 6), st.floats(3, 60), st.floats(0.5, 30),
    st.sampled_from([1, 0.5, 1 / 2.54]), st.booleans(),
)  # fmt: skip
def test_no_cut_breaks_the_flap_rule_or_the_minimum(
    length: float, width: float, height: float, minimum: float, step: float, is_eased: bool
) -> None:
    stocked = Carton("C-0", (length, width, height), 0.2, is_cuttable=True, minimum_height_in=min(minimum, height))
    heights = cut_heights(stocked, step)
    assert heights == sorted(heights)
    for cut_height in heights[:-1]:
        cut = cut_down(stocked, cut_height, is_eased=is_eased)
        assert stocked.lowest_in <= cut_height < height
        assert width / 2 <= cut.flap_in <= width + 1e-9
        # No more flap than the wall and the old flap give.
        assert cut.flap_in <= width / 2 + height - cut_height + 1e-9
