"""Order quantities: published lot-size examples, and every lot priced against the formula."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.carton_choice.lots import MOST_LOTS, Holding, Supply, economic_lot, lot_for, year_cents
from tests.sampling import tries

BAGS = Supply(30, ((500, 29), (1_000, 28)))


@pytest.mark.published
def test_harris_first_economic_lot() -> None:
    """F. W. Harris, "How many parts to make at once", Factory, The Magazine of Management 10(2), 1913, 135-136, 152,
    reprinted in Operations Research 38(6), 1990, 947-950: 1,000 pieces a month at 10 cents each, a set-up of 2 dollars,
    interest and depreciation of a tenth a year give a lot of 2,190."""
    lot = economic_lot(12_000, Supply(10), Holding(order_cents=200, interest=0.1))
    assert round(lot, -1) == 2_190
    assert lot == pytest.approx(sqrt(240 * 1_000 * 2 / 0.10), abs=1)


@pytest.mark.published
def test_all_units_discount_of_a_textbook() -> None:
    """S. Nahmias, "Production and Operations Analysis", section 4.7, example 4.4 (numbers from memory, worked again
    here): 600 bags a year, 8 dollars an order, 20 percent a year, prices of 30, 29 and 28 cents from 1, 500 and 1,000.
    Lots of 400, 500 and 1,000 cost 204.00, 198.10 and 200.80 dollars a year: the best is the break at 500."""
    holding = Holding(order_cents=800, interest=0.2)
    costs = year_cents(np.array([400.0, 500.0, 1_000.0]), 600, BAGS, holding)
    assert costs.round().tolist() == [20_400, 19_810, 20_080]
    assert economic_lot(600, BAGS, holding) == 500


def test_a_price_holds_from_its_quantity_on_for_every_piece() -> None:
    assert BAGS.price_cents(np.array([1.0, 499.0, 500.0, 1_000.0])).tolist() == [30, 30, 29, 28]
    assert Supply(30).price_cents(np.array([1.0, 10_000.0])).tolist() == [30, 30]


def test_orders_are_whole_packs_and_no_less_than_the_minimum() -> None:
    packs = Supply(100, minimum=40, pack=25)
    assert lot_for(3, 500, packs) == 50 and lot_for(51, 500, packs) == 75
    # A year uses less than the smallest order: that is the order all the same.
    assert lot_for(3, 10, packs) == 50


def test_more_is_ordered_only_where_it_costs_less_money() -> None:
    # 95 at 100 cents cost 9,500; 100 at 90 cents cost 9,000. 85 at 100 cents cost 8,500: fewer is cheaper.
    supply = Supply(100, ((100, 90),))
    assert lot_for(95, 400, supply) == 100
    assert lot_for(85, 400, supply) == 85
    # A year does not use a hundred, and a hundred cost less all the same.
    assert lot_for(95, 95, supply) == 100
    assert lot_for(85, 85, supply) == 85


def test_a_break_above_a_years_use_is_reached_where_that_costs_less_at_once() -> None:
    """240 a year, packs of 25: 225 at 285 cents cost 641.25, 250 at 240 cost 600.00."""
    supply, holding = Supply(320, ((250, 240), (100, 285)), 25, 25), Holding(order_cents=3_500, interest=0.1)
    assert economic_lot(240, supply, holding) == 250
    # 250 at 270 cents cost 675.00, more than 225.
    assert economic_lot(240, Supply(320, ((100, 285), (250, 270)), 25, 25), holding) == 225


def test_without_what_ordering_and_keeping_cost_there_is_no_economic_lot() -> None:
    assert not Holding(500).is_stated() and not Holding(0, 20, 0.1).is_stated()
    assert Holding(500, 20).is_stated() and Holding(500, 0, 0.1).is_stated()


@settings(max_examples=tries(200), deadline=None)
@given(
    use=st.integers(1, 3_000),
    cents=st.integers(20, 900),
    order=st.integers(100, 5_000),
    storage=st.integers(1, 300),
    pack=st.sampled_from((1, 10, 25)),
    off=st.dictionaries(st.integers(2, 2_000), st.floats(0.5, 0.99), max_size=3),
)
def test_no_other_lot_costs_less(
    use: int, cents: int, order: int, storage: int, pack: int, off: dict[int, float]
) -> None:
    """Against a loop over every order of a year, written out by the formula; above a year, against its money."""
    supply = Supply(cents, tuple((fewest, cents * share) for fewest, share in off.items()), pack=pack)
    prices = sorted({fewest: cents * share for fewest, share in off.items()}.items())

    def price(lot: int) -> float:
        return next((each for fewest, each in reversed(prices) if lot >= fewest), cents)

    def year(lot: int) -> float:
        return use * price(lot) + order * use / lot + storage * lot / 2

    lots = range(pack, max(use, pack) + 1, pack)
    best = min(lots, key=year)
    chosen = economic_lot(use, supply, Holding(order, storage))
    assert chosen % pack == 0
    more = range(lots[-1] + pack, 2_100, pack)
    if chosen in lots:
        assert year(chosen) == pytest.approx(year(best))
        assert all(lot * price(lot) >= chosen * price(chosen) - 1e-6 for lot in more)
    else:
        assert chosen * price(chosen) == min(lot * price(lot) for lot in (best, *more))


def test_of_very_many_lots_those_tried_are_as_many_as_stated_and_reach_both_ends() -> None:
    few, many = Supply(5, pack=3).lots(7, 299_999), Supply(5, pack=3).lots(7, 3_000_000)
    assert few.size == 299_999 // 3 - 2 and few[0] == 9 and few[-1] == 299_997
    assert many.size == MOST_LOTS == 100_000
    assert many[0] == 9 and many[-1] == 3_000_000
    assert np.diff(many).max() - np.diff(many).min() == 3
    assert not (many % 3).any()
