"""The fit matrix, its collapse and the best carton, against one question at a time."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.packing.boxes import (
    NOTHING_FITS,
    Needs,
    Options,
    best_of,
    best_options,
    collapse,
    fit_matrix,
    needs,
    options,
)
from models.packing.fit import Verdict, fit
from models.packing.geometry import Carton
from models.packing.needed import SLACK_IN, contents
from tests.models.packing.goods import item

CATALOGUE = [
    Carton("C-06", (6, 6, 6), board_in=0.16, is_cuttable=True, minimum_height_in=3),
    Carton("C-12", (12, 9, 8), board_in=0.16, is_cuttable=True, minimum_height_in=4),
    Carton("C-48", (47.5, 7.5, 7.5), board_in=0.16, is_cuttable=True, minimum_height_in=4),
    Carton("C-20", (20, 16, 12.5), board_in=0.28),
]
OFFERED = options(CATALOGUE)


def random_needs(count: int, seed: int) -> Needs:
    chance = np.random.default_rng(seed)
    sides = np.round(np.sort(chance.gamma(3, 2.5, (count, 3)), axis=1)[:, ::-1], 1) + 0.1
    return Needs(sides, chance.random(count) < 0.6)


def test_options_hold_every_carton_at_every_height() -> None:
    heights: dict[str, list[float]] = {CATALOGUE[number].carton_code: [] for number in range(4)}
    for number, height in zip(OFFERED.carton, OFFERED.cut_height_in, strict=True):
        heights[CATALOGUE[number].carton_code].append(float(height))
    assert heights == {"C-06": [3, 4, 5, 6], "C-12": [4, 5, 6, 7, 8], "C-48": [4, 5, 6, 7, 7.5], "C-20": [12.5]}
    assert list(OFFERED.is_cut[:4]) == [True, True, True, False]
    assert list(OFFERED.outside_in[0]) == pytest.approx([6.32, 6.32, 3.64])


@settings(derandomize=True, deadline=None, max_examples=60)
@given(
    st.lists(st.tuples(*[st.integers(1, 60)] * 3), min_size=1, max_size=5), st.sampled_from(["any", "flat", "upright"])
)
def test_matrix_agrees_with_the_fit_of_one_piece(sides: list[tuple[int, int, int]], turns: str) -> None:
    goods = [
        item(f"goods {number}", *(side / 3 for side in triple), turns=turns) for number, triple in enumerate(sides)
    ]
    matrix = fit_matrix(needs([(good, 0.5) for good in goods]), OFFERED)
    for row, good in zip(matrix, goods, strict=True):
        packed = contents([(good, 1)], 0.5)
        one_by_one = [fit(packed, tuple(inside)).verdict is Verdict.FITS for inside in OFFERED.inside_in]
        assert list(row) == one_by_one


@pytest.mark.parametrize("seed", range(5))
def test_collapsed_needs_fit_the_same_options(seed: int) -> None:
    wanted = random_needs(2_000, seed)
    first, kind = collapse(wanted, OFFERED)
    assert len(first) < 500
    whole = fit_matrix(wanted, OFFERED)
    assert (whole == whole[first][kind]).all()


def test_collapse_is_exact_at_fractional_sides() -> None:
    widths = [7.5, 7.5 + SLACK_IN, 7.5 + 2 * SLACK_IN, 7.6]
    wanted = Needs(np.array([[30, width, 7.5] for width in widths]), np.ones(4, dtype=bool))
    _, kind = collapse(wanted, OFFERED)
    assert kind[0] == kind[1] != kind[2] == kind[3]


def test_best_is_the_cheapest_that_fits_and_then_the_smallest() -> None:
    wanted = Needs(
        np.array([[5.0, 5, 3.5], [5, 5, 3.5], [30, 5, 3.5], [60, 5, 5]]), np.array([True, False, True, True])
    )
    volume = OFFERED.outside_in.prod(axis=1)
    flat_rate = best_options(wanted, OFFERED, np.full(len(OFFERED), 500))
    by_volume = best_options(wanted, OFFERED, np.rint(volume * 10).astype(np.int64))
    assert [_named(OFFERED, number) for number in flat_rate.option] == ["C-06/4", "C-06/4", "C-48/4", "none"]
    assert list(by_volume.option) == list(flat_rate.option)
    assert list(flat_rate.price_cents) == [500, 500, 500, 0]


def _named(offered: Options, number: int) -> str:
    if number == NOTHING_FITS:
        return "none"
    return f"{offered.cartons[offered.carton[number]].carton_code}/{offered.cut_height_in[number]:g}"


@settings(derandomize=True, deadline=None, max_examples=30)
@given(st.integers(0, 10_000), st.integers(1, 400))
def test_best_in_blocks_is_the_best_of_all(seed: int, block_cells: int) -> None:
    wanted = random_needs(40, seed)
    prices = np.random.default_rng(seed).integers(100, 9_000, (40, len(OFFERED)))
    whole = best_of(fit_matrix(wanted, OFFERED), prices, OFFERED)
    for given_prices in (prices, lambda numbers: prices[numbers]):
        blocks = best_options(wanted, OFFERED, given_prices, block_cells)
        assert (blocks.option == whole.option).all()
        assert (blocks.price_cents == whole.price_cents).all()
    for row in np.flatnonzero(whole.option != NOTHING_FITS):
        fitting = fit_matrix(wanted, OFFERED)[row]
        assert whole.price_cents[row] == prices[row][fitting].min()
        assert fitting[whole.option[row]]


def test_nothing_wanted_and_nothing_offered() -> None:
    none = Needs(np.zeros((0, 3)), np.zeros(0, dtype=bool))
    assert len(best_options(none, OFFERED, np.zeros(len(OFFERED), dtype=np.int64)).option) == 0
    nothing = options([])
    assert list(best_options(random_needs(2, 1), nothing, np.zeros(0, dtype=np.int64)).option) == [NOTHING_FITS] * 2
