"""Orders that last longer than a year, held against the next best carton: reckoned by hand."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from models.carton_choice.long_orders import extra_by_code, judged
from models.carton_choice.orders import carton_orders
from models.carton_choice.use import YEAR_DAYS, use_of
from models.settings.cartons import Cartons
from tests.models.carton_choice.test_orders import NO_STEPS, stock
from tests.models.carton_choice.test_use import days

# One piece every other day.
USE = use_of(days(90, {"A": 2}).iloc[::4])


def substitute(extra_cents: float | None, parcels: int = 20) -> dict[str, Any]:
    return {"carton_code": "A", "parcel_count": parcels, "extra_cents": extra_cents}


def ordered(*others: dict[str, Any], settings: Cartons | None = None, **cells: Any) -> pd.Series[Any]:
    rows = pd.DataFrame([stock(unit_cost_cents=100, pack_quantity=1, **cells)])
    found = pd.DataFrame(list(others), columns=["carton_code", "parcel_count", "extra_cents"])
    return carton_orders(rows, NO_STEPS, USE, settings or Cartons(), found).iloc[0]


def test_an_order_of_three_years_is_paid_by_what_parcels_cost_less() -> None:
    daily = USE.expected("A", 1)[0]
    found = ordered(substitute(20 * 300), minimum_order=round(3 * YEAR_DAYS * daily))
    assert found["order_months"] == pytest.approx(36, rel=0.01) and pd.isna(found["order_keep_cents"])
    # Each parcel spares the piece's dollar and three more: N dollars are back after a quarter of the pieces.
    assert found["order_extra_cents"] == 300 and found["order_pays_months"] == pytest.approx(9, rel=0.01)
    assert found["is_order_paying"] and found["order_state"] == "order later"


def test_one_that_pays_late_or_never_is_called_off() -> None:
    minimum = round(3 * YEAR_DAYS * USE.expected("A", 1)[0])
    # A third of a dollar more: paid after three quarters of three years.
    late = ordered(substitute(20 * 100 / 3), minimum_order=minimum)
    assert late["order_pays_months"] == pytest.approx(27, rel=0.02)
    assert (late["order_state"], bool(late["is_order_paying"])) == ("use another carton", False)
    never = ordered(substitute(-20), minimum_order=minimum)
    assert pd.isna(never["order_pays_months"]) and never["order_state"] == "use another carton"
    out = ordered(substitute(-20), minimum_order=minimum, stock_left=0)
    assert out["order_state"] == "out of stock" and not out["is_order_paying"]


def test_storage_and_interest_count_until_the_last_piece_is_used() -> None:
    minimum = round(3 * YEAR_DAYS * USE.expected("A", 1)[0])
    found = ordered(substitute(20 * 30), settings=Cartons(interest_per_year=0.2), minimum_order=minimum)
    # Half the order for three years at a fifth: three tenths of its price, all that the parcels cost less.
    assert found["order_keep_cents"] == pytest.approx(0.3 * found["order_cents"], rel=0.01)
    cheap = ordered(substitute(20 * 25), settings=Cartons(interest_per_year=0.2), minimum_order=minimum)
    assert pd.isna(cheap["order_pays_months"])


def test_nothing_is_said_of_shorter_orders_or_where_nothing_stands_in() -> None:
    short = ordered(substitute(-20), minimum_order=10)
    assert short["order_state"] == "order later" and short[["order_extra_cents", "is_order_paying"]].isna().all()
    long = ordered(substitute(None), minimum_order=500)
    assert long["order_months"] > 12 and pd.isna(long["order_extra_cents"]) and long["order_state"] == "order later"
    assert judged({"order_months": None}, 5.0) == {}


def test_contents_that_nothing_else_holds_leave_the_carton_without_a_figure() -> None:
    rows = pd.DataFrame([substitute(60, 20), substitute(40, 30), {**substitute(None), "carton_code": "B"}])
    assert extra_by_code(rows) == {"A": 2.0}
    assert extra_by_code(pd.concat([rows, pd.DataFrame([substitute(None)])])) == {}
