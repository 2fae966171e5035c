"""The fit matrix, its collapse and the best carton, against one question at a time."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.columns.goods import TURNS
from models.packing.boxes import fit_matrix, needs, options
from models.packing.fit import Verdict, fit
from models.packing.geometry import Carton
from models.packing.needed import contents
from tests.models.packing.goods import item

CATALOGUE = [
    Carton("C-06", (6, 6, 6), board_in=0.16, is_cuttable=True, minimum_height_in=3),
    Carton("C-12", (12, 9, 8), board_in=0.16, is_cuttable=True, minimum_height_in=4),
    Carton("C-48", (47.5, 7.5, 7.5), board_in=0.16, is_cuttable=True, minimum_height_in=4),
    Carton("C-20", (20, 16, 12.5), board_in=0.28),
]
OFFERED = options(CATALOGUE)


def test_options_hold_every_carton_at_every_height() -> None:
    heights: dict[str, list[float]] = {CATALOGUE[number].carton_code: [] for number in range(4)}
    for number, height in zip(OFFERED.carton, OFFERED.cut_height_in, strict=True):
        heights[CATALOGUE[number].carton_code].append(float(height))
    assert heights == {"C-06": [3, 4, 5, 6], "C-12": [4, 5, 6, 7, 8], "C-48": [4, 5, 6, 7, 7.5], "C-20": [12.5]}
    assert list(OFFERED.is_cut[:4]) == [True, True, True, False]
    assert list(OFFERED.outside_in[0]) == pytest.approx([6.32, 6.32, 3.64])


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.lists(st.tuples(*[st.integers(1, 60)] * 3), min_size=1, max_size=5), st.sampled_from(TURNS))
def test_matrix_agrees_with_the_fit_of_one_piece(sides: list[tuple[int, int, int]], turns: str) -> None:
    goods = [
        item(f"goods {number}", *(side / 3 for side in triple), turns=turns) for number, triple in enumerate(sides)
    ]
    matrix = fit_matrix(needs([(good, 0.5) for good in goods]), OFFERED)
    for row, good in zip(matrix, goods, strict=True):
        packed = contents([(good, 1)], 0.5)
        one_by_one = [fit(packed, tuple(inside)).verdict is Verdict.FITS for inside in OFFERED.inside_in]
        assert list(row) == one_by_one
