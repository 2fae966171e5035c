"""The fit table answers as the single question does, and never against itself."""

from __future__ import annotations

import random

import numpy as np
import pytest

from models.packing.fit import Effort, Known, Verdict, fit
from models.packing.needed import Contents, contents
from models.packing.tables import fit_table, least_insides
from tests.models.packing.goods import cut_carton, item

GOODS = [
    item("optical tube", 40, 11, 11, may_lie_under=False),
    item("tripod", 44, 6, 6),
    item("mount", 14, 12, 9, turns="upright"),
    item("eyepiece", 5, 3, 3),
    item("counterweight", 7, 7, 4, turns="flat"),
]


def some_contents(count: int, seed: int) -> list[Contents]:
    chance = random.Random(seed)
    lines = [
        [(good, chance.randint(1, 2)) for good in chance.sample(GOODS, chance.randint(1, 3))] for _ in range(count)
    ]
    return [contents(line, chance.choice([0.0, 1.0])) for line in lines]


def some_insides(count: int, seed: int) -> np.ndarray:
    chance = np.random.default_rng(seed)
    footprint = np.sort(chance.uniform(8, 48, (count, 2)), axis=1)[:, ::-1]
    return np.column_stack([np.repeat(footprint, 3, axis=0), chance.uniform(5, 26, 3 * count)])


@pytest.mark.parametrize("seed", range(4))
def test_table_agrees_with_the_single_question(seed: int) -> None:
    many, insides = some_contents(6, seed), some_insides(10, seed)
    table = fit_table(many, insides)
    assert table.shape == (6, 30)
    for packed, row in zip(many, table, strict=True):
        singly = [fit(packed, tuple(inside)).verdict for inside in insides]
        # The table may know more than a question on its own, since answers carry over; it never knows otherwise.
        assert all(alone in (reported, Verdict.UNDECIDED) for reported, alone in zip(row, singly, strict=True))
    assert (table == Verdict.FITS).any() and (table == Verdict.DOES_NOT_FIT).any()


@pytest.mark.parametrize("seed", range(3))
def test_what_fits_a_room_fits_every_room_that_holds_it(seed: int) -> None:
    many, insides = some_contents(8, seed), some_insides(12, seed)
    table = fit_table(many, insides, Effort(blocks=2, steps=30))
    holds = (insides[None, :, :] >= insides[:, None, :]).all(axis=2)
    for row in table:
        smaller, larger = np.nonzero(holds)
        assert not ((row[smaller] == Verdict.FITS) & (row[larger] != Verdict.FITS)).any()
        assert not ((row[larger] == Verdict.DOES_NOT_FIT) & (row[smaller] != Verdict.DOES_NOT_FIT)).any()


def test_contents_alike_in_geometry_are_asked_once() -> None:
    known = Known()
    many = [contents([(item(name, 14, 12, 9), 2)], 0.5) for name in ("mount", "finder", "base")]
    table = fit_table([*many, many[0]], [(30, 13, 10), (29, 13, 10), (10, 5, 5)], known=known)
    assert (table == table[0]).all()
    # Two pieces of 14 x 12 x 9 with 1/2 in around and between: 14 + 14 + 1.5 by 13 by 10.
    assert table[0].tolist() == [1, 0, 0]
    assert len(known) <= 3


def test_cartons_cut_into_the_contents_are_found() -> None:
    chance = random.Random(5)
    for _ in range(20):
        packed, inside = cut_carton(chance.randint(2, 6), chance)
        length, width, height = inside
        rows = [inside, (length + 2, width + 1, height), (length, width, height * 0.8), (0.1, 0.1, 0.1)]
        assert fit_table([packed], rows)[0].tolist() == [1, 1, 0, 0]


def test_made_to_measure_is_exact_for_one_piece() -> None:
    packed = contents([(GOODS[1], 1)], 1.5)
    # Any side of 44 x 6 x 6 in may stand vertical, 1.5 in clear all round.
    assert least_insides(packed, (60, 60, 60)).round(3).tolist() in ([[47, 9, 9], [9, 9, 47]], [[9, 9, 47], [47, 9, 9]])


@pytest.mark.parametrize("seed", range(3))
def test_made_to_measure_holds_the_goods_and_nothing_smaller_was_left_out(seed: int) -> None:
    for packed in some_contents(5, seed):
        rows = least_insides(packed, (60, 60, 40))
        assert len(rows)
        for inside in rows:
            assert fit(packed, tuple(inside)).verdict is Verdict.FITS
        others = [np.delete(rows, number, axis=0) for number in range(len(rows))]
        assert not any((rest <= row).all(axis=1).any() for row, rest in zip(rows, others, strict=True))


def test_made_to_measure_beyond_the_limit_is_nothing() -> None:
    assert least_insides(contents([(GOODS[1], 1)]), (40, 40, 40)).shape == (0, 3)
    assert least_insides(contents([(GOODS[1], 1)], 30), (40, 40, 40)).shape == (0, 3)


def test_nothing_asked_is_nothing_answered() -> None:
    assert fit_table([], [(1, 1, 1)]).shape == (0, 1)
    assert fit_table(some_contents(2, 1), np.zeros((0, 3))).shape == (2, 0)
