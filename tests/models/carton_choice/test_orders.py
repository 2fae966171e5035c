"""What to order and when: given stock and use, expected rows."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from models.carton_choice.order_words import LEAST_COST, MONTHS_OF_STOCK
from models.carton_choice.orders import Needed, carton_orders
from models.carton_choice.supply import folded_ft3
from models.carton_choice.use import use_of
from models.settings.cartons import Cartons
from tests.models.carton_choice.test_use import FIRST, days

# Two a day for ninety days: no season, no more variation than a Poisson count has.
USE = use_of(days(90, {"A": 2}))
LAST = FIRST + pd.Timedelta(days=89)
PLAIN = Cartons()
NO_STEPS = pd.DataFrame({"carton_code": [], "minimum_quantity": [], "unit_cost_cents": []})
STEPS = pd.DataFrame({"carton_code": ["A", "A"], "minimum_quantity": [100, 300], "unit_cost_cents": [95, 80]})


def stock(**cells: Any) -> dict[str, Any]:
    """One row of marts.carton_stock: 100 left of carton A, twelve days to come."""
    sides = {"inside_length_in": 20.0, "inside_width_in": 10.0, "inside_height_in": 10.0, "board_in": 0.16}
    supplied = {"unit_cost_cents": 100, "minimum_order": 50, "pack_quantity": 25, "lead_time_days": 12}
    counted = {"on_hand": 120, "counted_on": LAST, "packed_since_count": 20, "unnamed_since_count": 0}
    return {**{"carton_code": "A", **sides, **supplied, **counted, "is_recount_due": False, "stock_left": 100}, **cells}


NOTHING_ELSE = pd.DataFrame({"carton_code": [], "parcel_count": [], "extra_cents": []})


def order(settings: Cartons = PLAIN, steps: pd.DataFrame = NO_STEPS, **cells: Any) -> pd.Series[Any]:
    return carton_orders(pd.DataFrame([stock(**cells)]), steps, USE, settings, NOTHING_ELSE).iloc[0]


def test_stock_lasts_as_many_days_as_it_holds_days_of_use() -> None:
    found = order()
    assert found["order_state"] == "order later" and found["next_use"] == pytest.approx(60)
    assert found["runs_out_on"] == LAST + pd.Timedelta(days=50)
    # Twelve days expected from ninety vary by 1 + 12 / 90 times what is expected.
    level = int(stats.nbinom.ppf(0.95, 24 / (12 / 90), 1 / (1 + 12 / 90)))
    assert (found["reorder_at_count"], found["reserve_count"]) == (level, level - 24)
    # Two a day from 100 down to the level.
    assert found["order_by_on"] == LAST + pd.Timedelta(days=(100 - level + 1) // 2)


@pytest.mark.parametrize(
    ("cells", "state"),
    [
        ({"stock_left": 0}, "out of stock"),
        ({"stock_left": 23}, "short before delivery"),
        ({"stock_left": 24}, "order now"),
        ({"stock_left": 33}, "order now"),
        ({"stock_left": 34}, "order later"),
        ({"stock_left": None, "is_recount_due": True}, "count again"),
        ({"stock_left": None, "on_hand": None, "counted_on": None}, "not counted"),
        ({"lead_time_days": None}, "lead time not known"),
        ({"lead_time_days": None, "stock_left": 0}, "out of stock"),
        ({"carton_code": "B"}, "not used"),
    ],
)
def test_the_state_follows_from_what_is_left_and_what_will_be_used(cells: dict[str, Any], state: str) -> None:
    assert order(**cells)["order_state"] == state


def test_nothing_is_ordered_of_what_is_not_known() -> None:
    for cells in ({"stock_left": None, "is_recount_due": True}, {"carton_code": "B"}):
        found = order(**cells)
        assert found[["order_count", "order_cents", "order_by_on", "runs_out_on"]].isna().all()
    assert pd.isna(order(stock_left=0)["runs_out_on"])
    undated = order(lead_time_days=None)
    assert pd.isna(undated["order_by_on"]) and undated["order_count"] > 0
    few = carton_orders(pd.DataFrame([stock()]), NO_STEPS, use_of(days(20, {"A": 2})), Cartons(), NOTHING_ELSE).iloc[0]
    assert few["order_state"] == "use not known" and few[["next_use", "order_count", "use_basis"]].isna().all()


def test_nothing_is_ordered_of_what_has_not_been_packed_for_long() -> None:
    use = use_of(days(120, {"A": [2] * 70 + [0] * 50, "B": 1}))
    found = carton_orders(pd.DataFrame([stock()]), NO_STEPS, use, PLAIN, NOTHING_ELSE).iloc[0]
    assert found["order_state"] == "not used lately" and found["last_used_on"] == FIRST + pd.Timedelta(days=69)
    assert found[["next_use", "order_count", "order_by_on", "runs_out_on", "reorder_at_count"]].isna().all()
    # An empty shelf is a reason why none was packed.
    out = carton_orders(pd.DataFrame([stock(stock_left=0)]), NO_STEPS, use, PLAIN, NOTHING_ELSE).iloc[0]
    assert out["order_state"] == "out of stock"


def test_a_count_after_the_bench_log_lasts_from_its_own_day() -> None:
    counted_on = LAST + pd.Timedelta(days=25)
    found = order(counted_on=counted_on, on_hand=20, packed_since_count=0, stock_left=20, lead_time_days=0)
    assert found["runs_out_on"] == counted_on + pd.Timedelta(days=10) == found["order_by_on"]


def test_a_lead_time_above_a_year_is_covered_whole() -> None:
    found = order(lead_time_days=400)
    assert found["lead_time_use"] == pytest.approx(800) and found["reorder_at_count"] > 800
    # Three months and what is missing; the order still lasts by the use of a year.
    assert found["order_count"] >= found["reorder_at_count"] - 100
    assert found["order_months"] == pytest.approx(found["order_count"] / 728 * 12)


def test_an_order_lasts_as_long_as_the_shop_says_in_whole_packs() -> None:
    # Three months of 364 / 12 days are 91 days: 182 pieces, eight packs of 25.
    found = order()
    assert (found["order_count"], found["order_cents"], found["order_basis"]) == (200, 20_000, MONTHS_OF_STOCK)
    assert found["order_months"] == pytest.approx(200 / 728 * 12)
    # What is short of the reorder level comes on top: 33 - 10 are 23, 205 in all.
    assert order(stock_left=10)["order_count"] == 225
    # From 300 on the price falls by so much that 300 cost less than 275 at 95 cents: 24,000 against 26,125.
    dearer = order(Cartons(stock_months=4.5), steps=STEPS)
    assert (dearer["order_count"], dearer["order_unit_cents"], dearer["order_cents"]) == (300, 80, 24_000)


def test_stated_costs_of_ordering_and_keeping_give_the_lot_that_costs_least() -> None:
    settings = Cartons(order_cost_cents=1_500, storage_month_cents_per_ft3=40)
    found = order(settings)
    # Blank 2 (20 + 10) x (10 + 10) = 1,200 in2, 0.16 in thick: 1/9 ft3. Storage 12 x 40 / 9 = 53.33 cents a year.
    assert folded_ft3(stock()) == pytest.approx(1 / 9)
    lots = np.arange(50, 729, 25)
    cents = 1_500 * 728 / lots + 12 * 40 / 9 * lots / 2
    assert found["order_count"] == lots[cents.argmin()] and found["order_basis"] == LEAST_COST
    assert found["storage_month_cents"] == round(40 / 9 * found["order_count"] / 2)
    # Without a price of storage nothing is said of it.
    assert pd.isna(order()["storage_month_cents"])


def test_unknown_minimum_and_pack_limit_nothing() -> None:
    assert order(minimum_order=None, pack_quantity=None)["order_count"] == 182


def test_days_are_counted_until_no_more_is_left() -> None:
    needed = Needed(np.cumsum(np.full(10, 2.0)), 7.0, None, None)
    assert [needed.days_down_to(count) for count in (7, 6, 5, 0)] == [0, 1, 1, 4]
    assert Needed(needed.by_day, 100.0, None, None).days_down_to(0) is None
    assert needed.until(0) == 0 and needed.until(3) == 6 and needed.until(99) == 20
