"""Stock of cartons: what was counted last, less what was packed since; given rows, expected rows."""

from __future__ import annotations

from typing import Any

import pytest

from tests.shops import built

NEEDED = ("marts.carton_stock", "marts.carton_days")
FIELDS = "on_hand, packed_since_count, unnamed_since_count, is_recount_due, stock_left"
# Parcels of C-48 on three days, one of an unnamed carton, one of another.
SENT = [
    {"parcel_id": f"P{number}", "sale_id": "S1", "shipped_on": day, "carton_code": code}
    for number, (day, code) in enumerate(
        [
            *(("2026-10-05", "C-48"), ("2026-10-06", "C-48"), ("2026-10-06", "C-48"), ("2026-10-07", "C-48")),
            *(("2026-10-05", None), ("2026-10-07", None), ("2026-10-07", "C-50")),
        ]
    )
]


def stock(*catalogue: dict[str, Any]) -> list[tuple[Any, ...]]:
    with built(sales=[{"sale_id": "S1"}], weights=SENT, cartons=catalogue, needed=NEEDED) as connection:
        return connection.execute(f"select {FIELDS} from marts.carton_stock order by carton_code").fetchall()


def entry(**cells: Any) -> dict[str, Any]:
    return {"carton_code": "C-48", **cells}


def test_parcels_after_the_day_of_the_count_lower_the_stock() -> None:
    assert stock(entry(on_hand=10, counted_on="2026-10-05")) == [(10, 3, 1, False, 7)]
    assert stock(entry(on_hand=10, counted_on="2026-10-04")) == [(10, 4, 2, False, 6)]
    assert stock(entry(on_hand=10, counted_on="2026-10-07")) == [(10, 0, 0, False, 10)]


def test_stock_ends_at_nothing_and_more_packed_than_there_were_is_not_known() -> None:
    assert stock(entry(on_hand=3, counted_on="2026-10-05")) == [(3, 3, 1, False, 0)]
    assert stock(entry(on_hand=2, counted_on="2026-10-05")) == [(2, 3, 1, True, None)]


def test_a_count_without_a_day_stands_as_recorded_and_none_is_none() -> None:
    assert stock(entry(on_hand=3)) == [(3, None, None, False, 3)]
    assert stock(entry()) == [(None, None, None, False, None)]


def test_the_latest_entry_that_states_a_count_holds() -> None:
    first = entry(on_hand=50, counted_on="2026-10-01")
    later = entry(effective_from="2026-10-06", on_hand=9, counted_on="2026-10-06", unit_cost_cents=270)
    assert stock(first, later) == [(9, 1, 1, False, 8)]
    # A later entry that only changes the price keeps the count.
    assert stock(first, entry(effective_from="2026-10-06", unit_cost_cents=270)) == [(50, 4, 2, False, 46)]


@pytest.mark.parametrize("code", ["C-50", "C-99"])
def test_each_carton_of_the_catalogue_has_its_own_row(code: str) -> None:
    packed = 1 if code == "C-50" else 0
    found = stock(
        entry(on_hand=10, counted_on="2026-10-05"), entry(carton_code=code, on_hand=5, counted_on="2026-10-01")
    )
    assert found == [(10, 3, 1, False, 7), (5, packed, 2, False, 5 - packed)]
