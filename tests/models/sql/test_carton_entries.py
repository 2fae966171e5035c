"""Entries of the carton catalogue: what a later one leaves blank, and which is in force; given rows, expected rows."""

from __future__ import annotations

from typing import Any

import pytest

from tests.shops import built

STATED: dict[str, Any] = {
    "carton_code": "C-48", "effective_from": "2025-01-01",
    "inside_length_in": 47.0, "inside_width_in": 7.0, "inside_height_in": 7.0,
    "outside_length_in": 48.0, "outside_width_in": 8.0, "outside_height_in": 8.5,
    "carton_style": "0201", "board_in": 0.3, "is_cuttable": True, "minimum_height_in": 4.0, "tare_lb": 1.4,
    "telescope_overlap_in": 6.0,
    "minimum_order": 25, "pack_quantity": 5, "lead_time_days": 10, "unit_cost_cents": 285,
}  # fmt: skip
OPTIONAL = (
    *("outside_length_in", "outside_width_in", "outside_height_in", "carton_style", "board_in", "is_cuttable"),
    *("minimum_height_in", "tare_lb", "telescope_overlap_in", "minimum_order", "pack_quantity", "lead_time_days"),
)
# A later entry that states sides and price alone.
PRICED = {**STATED, **dict.fromkeys(OPTIONAL), "effective_from": "2026-02-01", "unit_cost_cents": 300}
LATER = "select {} from core.cartons where effective_from = date '2026-02-01'"


def later(columns: str, **cells: Any) -> tuple[Any, ...]:
    """Columns of the later entry, where it states these cells too."""
    with built(cartons=[STATED, {**PRICED, **cells}], needed=("core.cartons",)) as connection:
        (row,) = connection.execute(LATER.format(columns)).fetchall()
    return tuple(row)


def test_what_a_later_entry_leaves_blank_stands_as_it_was_stated() -> None:
    assert later(", ".join(OPTIONAL)) == tuple(STATED[name] for name in OPTIONAL)
    assert later("unit_cost_cents") == (300,)


@pytest.mark.parametrize(
    ("column", "stated"),
    [("is_cuttable", False), ("minimum_order", 0), ("lead_time_days", 0), ("pack_quantity", 1), ("board_in", 0.1)],
)
def test_a_stated_cell_takes_it_back(column: str, stated: Any) -> None:
    assert later(column, **{column: stated}) == (stated,)


def test_outside_sides_stand_only_while_inside_and_board_do() -> None:
    outside = "outside_length_in, outside_width_in, outside_height_in"
    # Two boards on length and width, four on height.
    assert later(outside, board_in=0.25) == (47.5, 7.5, 8.0)
    assert later(outside, inside_length_in=46.0) == (46.6, 7.6, 8.2)
    assert later(outside, outside_length_in=49.0) == (49.0, 8.0, 8.5)


def test_a_least_height_above_the_carton_is_none() -> None:
    assert later("minimum_height_in", inside_height_in=3.0) == (None,)
    assert later("minimum_height_in", inside_height_in=5.0) == (4.0,)


def test_an_entry_to_come_changes_nothing_yet() -> None:
    announced = {**PRICED, "effective_from": "2026-12-01"}
    sent = {"parcel_id": "P1", "sale_id": "S1", "shipped_on": "2026-11-20", "carton_code": "C-48"}
    to_come = {**STATED, "carton_code": "C-60", "effective_from": "2027-01-01"}
    entries = [STATED, PRICED, announced, to_come, {**to_come, "effective_from": "2027-02-01"}]
    with built(
        sales=[{"sale_id": "S1"}], weights=[sent], cartons=entries, needed=("marts.carton_stock",)
    ) as connection:
        found = connection.execute(
            "select n.carton_code, cast(n.effective_from as varchar), s.unit_cost_cents from core.current_cartons as n "
            "inner join marts.carton_stock as s on s.carton_code = n.carton_code order by n.carton_code"
        ).fetchall()
    assert found == [("C-48", "2026-02-01", 300), ("C-60", "2027-01-01", 285)]
