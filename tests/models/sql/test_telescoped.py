"""Two cartons slid into one another: geometry by hand."""

from __future__ import annotations

from typing import Any

import pytest

from tests.shops import built

# Inside 20 x 10 x 30 in, a quarter of an inch of board, two dollars, a pound and a half.
CARTON: dict[str, Any] = {
    "carton_code": "C-30", "inside_length_in": 20.0, "inside_width_in": 10.0, "inside_height_in": 30.0,
    "board_in": 0.25, "unit_cost_cents": 200, "tare_lb": 1.5, "telescope_overlap_in": 8.0,
}  # fmt: skip
ASKED = "select * from core.telescoped_cartons order by effective_from"


def telescoped(*entries: dict[str, Any]) -> list[dict[str, Any]]:
    with built(cartons=entries, needed=("core.telescoped_cartons",)) as connection:
        return [
            {str(name): cell for name, cell in row.items()} for row in connection.execute(ASKED).df().to_dict("records")
        ]


def sides(row: dict[str, Any], face: str) -> tuple[float, ...]:
    return tuple(row[f"{face}_{side}_in"] for side in ("length", "width", "height"))


def test_two_cartons_are_as_long_as_both_less_the_overlap() -> None:
    (row,) = telescoped(CARTON)
    assert (row["carton_code"], row["single_code"]) == ("2 x C-30", "C-30")
    # The inner one's walls lie within the outer one's: 20 - 2 x 0.25; 30 + 30 - 8 from closed end to closed end.
    assert sides(row, "inside") == (19.5, 9.5, 52.0)
    # The outer one is 20.5 x 10.5 outside and spread by the inner one's walls; four boards of flaps close the ends.
    assert sides(row, "outside") == (21.0, 11.0, 53.0)
    assert (row["unit_cost_cents"], row["tare_lb"]) == (400, 3.0)


def test_a_board_that_is_not_stated_is_the_usual_one() -> None:
    (row,) = telescoped({**CARTON, "board_in": None})
    assert sides(row, "inside") == pytest.approx((20 - 5 / 16, 10 - 5 / 16, 52))


@pytest.mark.parametrize(
    "cells", [{"telescope_overlap_in": None}, {"telescope_overlap_in": 30.0}, {"carton_style": "tube"}]
)
def test_only_cartons_marked_as_fit_for_it_are_slid_into_one_another(cells: dict[str, Any]) -> None:
    assert telescoped({**CARTON, **cells}) == []


def test_each_entry_has_its_own() -> None:
    rows = telescoped(
        CARTON, {**CARTON, "effective_from": "2026-01-01", "unit_cost_cents": 230, "telescope_overlap_in": None}
    )
    assert [row["unit_cost_cents"] for row in rows] == [400, 460]
