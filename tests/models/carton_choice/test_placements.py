"""Placement tables: given goods and cartons, expected rows, and a check of the rows themselves."""

from __future__ import annotations

import pandas as pd
import pytest

from models.carton_choice.placements import LAY_BEFORE, ROUND, Box, placement_tables
from models.packing.needed import Contents, Sides, contents
from models.packing.placement import Placement, faults
from models.shop_units import Units
from tests.models.packing.goods import item

TRIPOD = item("tripod", 44, 6, 6)
MIRROR = item("mirror", 10, 10, 3, turns="flat", may_lie_under=False)
EYEPIECE = item("eyepiece", 3, 2, 2)
AS_SENT, BETTER = "as sent", "cheaper from stock"

INCHES = Units("USD")


def placed(packed: Contents, rows: pd.DataFrame) -> list[Placement]:
    """The rows of placement.pieces read back."""
    items = {line[0].item_type: line[0] for line in packed.lines}
    sides = ["along_length_in", "along_width_in", "along_height_in"]
    return [
        Placement(items[row["item_type"]], row["left_in"], row["front_in"], row["bottom_in"], tuple(row[sides]))
        for _, row in rows.iterrows()
    ]


@pytest.mark.parametrize("inside", [(48.0, 18.0, 14.0), (46.5, 24.5, 9.0), (60.0, 30.0, 20.0)])
def test_rows_are_a_placement_that_stands_the_check(inside: Sides) -> None:
    packed = contents([(TRIPOD, 2), (MIRROR, 1), (EYEPIECE, 3)], clearance_in=0.5)
    found = placement_tables(packed, [Box(AS_SENT, "L-48", inside)], INCHES)
    assert found["placement.cartons"].iloc[0][["fitted", "piece_count", "clearance_in"]].tolist() == ["fits", 6, 0.5]
    pieces = found["placement.pieces"]
    assert faults(placed(packed, pieces), packed, inside) == []
    assert pieces["piece_number"].tolist() == [1, 2, 3, 4, 5, 6]
    assert pieces["bottom_in"].is_monotonic_increasing


def test_a_single_piece_lies_in_its_corner() -> None:
    found = placement_tables(
        contents([(TRIPOD, 1)], clearance_in=1.0), [Box(AS_SENT, "L-46", (46.0, 8.0, 8.0))], INCHES
    )
    (row,) = found["placement.pieces"].to_dict("records")
    assert [row[f"along_{side}_in"] for side in ("length", "width", "height")] == [44, 6, 6]
    assert [row[f"{side}_in"] for side in ("left", "front", "bottom")] == pytest.approx([1, 1, 1], abs=1e-3)
    assert (row["inside_length_in"], row["lies_at"]) == (46, "left, front, bottom")
    assert row["packing_line"] == "1. tripod: 44 x 6 x 6 in at left, front, bottom"


def test_each_carton_has_its_answer_and_only_fits_have_pieces() -> None:
    boxes = [Box(AS_SENT, "T-48", (48.0, 8.0, 8.0), is_rectangular=False), Box(BETTER, "S-40", (40.0, 8.0, 8.0))]
    found = placement_tables(contents([(TRIPOD, 1)]), boxes, INCHES)
    assert found["placement.cartons"]["fitted"].tolist() == ["not looked at", "does not fit"]
    assert found["placement.cartons"]["fit_reason"].iloc[0] == ROUND
    assert found["placement.pieces"].empty


def test_a_round_carton_is_offered_because_it_held_such_goods() -> None:
    boxes = [Box(AS_SENT, "L-46", (46.0, 8.0, 8.0)), Box(BETTER, "T-48", (48.0, 8.0, 8.0), is_rectangular=False)]
    found = placement_tables(contents([(TRIPOD, 1)]), boxes, INCHES)
    assert found["placement.cartons"]["fitted"].tolist() == ["fits", "not looked at"]
    assert found["placement.cartons"]["fit_reason"].tolist()[1] == LAY_BEFORE
    assert set(found["placement.pieces"]["looked_at"]) == {AS_SENT}
