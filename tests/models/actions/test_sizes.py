"""Other sizes in stock as an action: what held-out months bear out, by given and expected rows."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from models.actions.action import CARRIAGE
from models.actions.joint import done_together
from models.actions.sizes import size_actions
from tests.models.actions.test_sources import carton, frame, words


def saving(mean: float, low: float | None, high: float | None = None, part: str = "held out") -> pd.DataFrame:
    """What sizes save for each parcel against the best free use of stock, with limits of 80 percent."""
    row = {"saving_part": part, "saving_against": "right carton from stock", "saving_per_parcel_cents": mean}
    return frame({**row, "saving_likely_low_cents": low, "saving_likely_high_cents": high})


RUN = frame({"size_count": 2, "stocking_month_cents": -1_000, "once_cost_cents": 24_000})
ADVICE = frame(
    {"size_code": "new 16 x 16 x 7", "advice": "buy", "is_chosen": True},
    {"size_code": "M-20", "advice": "use up", "is_chosen": False},
)


def moved(**more: Any) -> dict[str, Any]:
    """240 parcels a year that go into a new size, and what they save."""
    row = carton(item_type="mirror", carton_code="M-20", best_carton_code="new 16 x 16 x 7", parcel_count=240)
    return {**row, "is_bought": True, "saving_cents": 1_200_000, **more}


def test_sizes_and_the_changes_of_carton_that_go_with_them() -> None:
    stays = moved(carton_code="M-30", best_carton_code="M-24", is_bought=False, parcel_count=120, saving_cents=240_000)
    worse = moved(carton_code="M-18", best_carton_code="M-24", is_bought=False, parcel_count=0, saving_cents=-12_000)
    opening, part, cartons = size_actions(RUN, ADVICE, saving(200, 150, 250), frame(moved(), stays, worse))
    sizes, _ = done_together([opening, part, cartons])
    assert words(sizes, cartons) == [
        "Stock 2 sizes of carton; buy new 16 x 16 x 7; use up M-20",
        "mirror: carton M-24 instead of M-30",
    ]
    # By hand: 12,000 a year saved and 120 lost are 990 a month; stocking two sizes fewer spares 10 more.
    assert (sizes.month_cents, sizes.saving_cents) == ({("mirror", CARRIAGE): 99_000}, 100_000)
    assert (sizes.once_cost_cents, cartons.month_cents) == (24_000, {("mirror", CARRIAGE): 20_000})
    assert {each.plan for each in (opening, part, cartons)} == {"sizes"}
    assert (opening.replaces, opening.touched) == ("cartons in stock", frozenset())
    assert (part.is_part, part.touched) == (True, frozenset({("mirror", "")}))
    # All is saved that the table says, less what late months do not bear out.
    assert sum(sum(each.month_cents.values()) for each in (sizes, cartons)) * 12 == 1_200_000 + 240_000 - 12_000


def test_what_leaves_a_carton_no_longer_stocked_comes_with_the_sizes() -> None:
    """A change among cartons that stay is made only where late months bear it out; out of M-20 there is no choice."""
    few = {"best_carton_code": "M-24", "is_bought": False, "is_borne_out": False, "saving_cents": 36_000}
    rows = frame(moved(), moved(**few), moved(**few | {"carton_code": "M-30"}))
    opening, part = size_actions(RUN, ADVICE, saving(200, 150, 250), rows)
    assert (opening.month_cents, part.month_cents) == ({}, {("mirror", CARRIAGE): 103_000})


def test_sizes_that_held_out_months_do_not_bear_out_are_not_advised() -> None:
    rows = frame(moved())  # 20 parcels a month: what is paid once and each month is 50 cents a parcel
    asked = [(60, 51, 69), (60, 50, 70), (400, 49, 800), (400, None, None)]
    found = [size_actions(RUN, ADVICE, saving(*each), rows) for each in asked]
    assert [len(each) for each in found] == [2, 0, 0, 0]
    assert size_actions(RUN, ADVICE, saving(60, 51, 69, part="chosen on"), rows) == []
    assert size_actions(RUN.iloc[:0], ADVICE, saving(60, 51, 69), rows) == []


@pytest.mark.published  # NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1: 0.9 of the normal lies below 1.282
def test_the_chance_of_sizes_is_read_off_their_interval() -> None:
    """The lower limit of 80 percent lies just above what they cost, so that nine tenths lie above that."""
    found, _ = size_actions(RUN, ADVICE, saving(150, 50.0001, 250), frame(moved()))
    assert found.confidence == pytest.approx(0.9, abs=0.0005)
    sure, _ = size_actions(RUN, ADVICE, saving(150, 150, 150), frame(moved()))
    assert sure.confidence == 0.99  # common practice, no source
