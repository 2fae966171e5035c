"""Outside sides with bulge, and the price of a carton that is not stocked yet."""

from __future__ import annotations

import numpy as np
import pytest

from models.carton_choice import offers
from models.settings.cartons import Cartons, CheckedCartons
from models.settings.checking import checked
from tests.models.carton_choice.catalogues import catalogue, entry


def bulging(longest: float, count: int = 9) -> dict[str, float]:
    bulges = {"bulge_longest_in": longest, "bulge_second_in": 0.25, "bulge_shortest_in": -0.5}
    return {"measured_count": count, **bulges}


def test_a_bulge_lies_along_the_side_of_its_rank_and_is_never_below_nothing() -> None:
    (long,) = offers.cartons_of(catalogue(entry("L", (9, 8, 40), **bulging(1.0))))
    assert long.outside_in == pytest.approx((9.32 + 0.25, 8.32, 40.64 + 1.0))


def test_too_few_measured_parcels_count_as_none() -> None:
    listed = catalogue(
        entry("A", (9, 9, 9), **bulging(0.2)),
        entry("B", (9, 9, 9), **bulging(0.4)),
        entry("C", (9, 9, 9), **bulging(5.0, count=4)),
    )
    assert offers.usual_bulge_in(listed) == pytest.approx((0.3, 0.25, 0.0))
    third = offers.cartons_of(listed)[2]
    assert third.outside_in is not None and max(third.outside_in) == pytest.approx(9.64 + 0.3)
    assert offers.usual_bulge_in(listed.iloc[2:]) == (0.0, 0.0, 0.0)


def test_a_new_size_costs_what_the_line_through_the_stocked_ones_says() -> None:
    """40 cents and a tenth of a cent for each square inch: 2 x (10 + 10) x (10 + 10) = 800 gives 120."""
    sides = [(10, 10, 10), (20, 10, 5), (30, 20, 20)]
    listed = catalogue(
        *(
            entry(f"K-{at}", inside, unit_cost_cents=round(40 + 0.1 * offers.blank_in2(inside)))
            for at, inside in enumerate(sides)
        )
    )
    made = offers.making(listed)
    assert offers.blank_in2((10, 10, 10)) == 800
    assert made.unit_cost_cents((10, 10, 10)) == 120
    assert made.unit_cost_cents((15, 10, 10)) == 40 + 100
    assert made.board_in == pytest.approx(0.16)


def test_without_a_catalogue_a_new_size_has_the_usual_board() -> None:
    made = offers.making(catalogue(entry("A", (9, 9, 9))).iloc[:0])
    assert made.board_in == offers.USUAL_BOARD_IN and made.unit_cost_cents((9, 9, 9)) == 1


@pytest.mark.common_practice
def test_usual_board_is_five_thirty_seconds() -> None:
    """Common practice, no source."""
    assert offers.USUAL_BOARD_IN == 5 / 32


@pytest.mark.parametrize(
    "wrong",
    [
        {"sizes": -1},
        {"hold_out_months": 0},
        {"candidate_step_in": 0.0},
        {"cut_minutes": -1.0},
        {"keep": ["A"], "drop": ["A"]},
        {"keep": [1]},
    ],
)
def test_settings_that_cannot_be_used_are_named(wrong: dict[str, object]) -> None:
    _, mistakes = checked(CheckedCartons, wrong)
    assert {each.place[0] for each in mistakes} <= set(wrong)
    assert mistakes


def test_settings_as_they_come_can_be_used() -> None:
    assert checked(CheckedCartons, {}) == (Cartons(), [])


def test_a_new_size_weighs_by_its_blank_what_stated_tares_do() -> None:
    # Blanks of 2 x 30 x 20 = 1,200 and 2 x 24 x 24 = 1,152 square inches; the third states none.
    made = offers.making(
        catalogue(
            entry("A", (20, 10, 10), tare_lb=1.2), entry("B", (12, 12, 12), tare_lb=3 * 1.152), entry("C", (9, 9, 9))
        )
    )
    assert made.tare_lb(np.array([[20.0, 10.0, 10.0]])).tolist() == pytest.approx([2.4])
    none = offers.making(catalogue(entry("C", (9, 9, 9))))
    assert np.isnan(none.tare_lb(np.array([[20.0, 10.0, 10.0]]))).all()
