"""The oracle by hand, and the program's plan beside it in two shops; `python -m tests.benchmarks plans` tries more."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from tests.plan_shops.judged import off_the_whole, outcome
from tests.plan_shops.oracle import Demand, carriage, cost, least, outside, ways
from tests.plan_shops.trade import Carton, Goods, Parcel, PlanShop, Tariff, content, wasteful
from tests.sampling import tries

ROD = Goods("rod", (19, 3, 3), 4.0, 1, 0, 0)
LONG, LOW = Carton("LONG", (24, 8, 6), 200, lowest=4), Carton("LOW", (20, 5, 4), 90)
TARIFF = Tariff({"2": (500, 40)}, 100, (24, 300), (60, 700))
SHOP = PlanShop(0, (ROD,), (LONG, LOW), (), TARIFF, board_lb=0.0)
SENT = Parcel("1", date(2025, 1, 1), ROD, "2", 4.2, LONG)


def test_the_price_of_a_parcel_by_hand() -> None:
    assert outside(LONG.inside) == pytest.approx((24.3, 8.3, 6.6))
    # 25 x 9 x 7 is 1,575 and over 100 sixteen pounds; 25 is beyond 24; 25 + 2 x 16 is 57, not beyond 60.
    assert carriage(TARIFF, "2", outside(LONG.inside), 4.2) == 500 + 15 * 40 + 300
    assert cost(SHOP, SENT, (LONG, None)) == 1_400 + 200
    # Cut to 4: 25 x 9 x 5 is 1,125, twelve pounds; the cut is 80.
    assert cost(SHOP, SENT, (LONG, 4)) == 500 + 11 * 40 + 300 + 200 + 80
    # 21 x 6 x 5 is 630, seven pounds.
    assert cost(SHOP, SENT, (LOW, None)) == least(SHOP, SENT, SHOP.cartons) == 500 + 6 * 40 + 90


def test_what_holds_a_piece_and_what_may_be_cut() -> None:
    assert ways([LONG, LOW], ROD) == [(LONG, None), (LONG, 4), (LOW, None)]
    assert ways([LOW], replace(ROD, sides=(19, 3, 4.5))) == []


def test_stock_that_is_written_off_and_new_sizes_count_over_a_year() -> None:
    demand = Demand(replace(SHOP, fixed_cents=100, cartons=(replace(LONG, on_hand=30), LOW)), [SENT] * 24, 12)
    assert demand.month_cents(frozenset({0, 1})) == 2 * 830 + 200
    assert demand.month_cents(frozenset({1})) == 2 * 830 + 100 + 30 * 200 / 12


@pytest.mark.parametrize("seed", [1, 5][: tries(2, fewest=1)])
def test_the_plan_comes_true_and_adds_up(seed: int) -> None:
    shop = wasteful(seed)
    found = outcome(shop)
    assert not found.contradictions
    assert sum(found.came) >= 0.7 * found.best
    assert 0.7 <= sum(found.promised) / sum(found.came) <= 1.4  # of one shop; the bench holds thirty to 0.9 and 1.1
    assert all(came > 0 for came, is_sure in zip(found.came, found.sure, strict=True) if is_sure)
    assert off_the_whole(shop) <= 0.02


def test_where_nothing_is_to_be_saved_nothing_is_advised() -> None:
    assert outcome(content(0)).promised == []
