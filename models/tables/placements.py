"""Contracts of placement.*: how the goods of one parcel lie in a carton. Made on demand, never stored."""

from __future__ import annotations

from models.contracts import Contract, contract

_INSIDE = "inside_length_in inside_width_in inside_height_in"


PLACEMENTS: dict[str, Contract] = {
    "placement.cartons": contract(
        "placement.cartons",
        "One row per carton looked at: whether the parcel's goods fit it.",
        "looked_at",
        f"looked_at carton_code {_INSIDE} is_cut is_end_opening clearance_in piece_count fitted fit_reason",
    ),
    "placement.pieces": contract(
        "placement.pieces",
        "One row per carton looked at and piece: where it lies.",
        "looked_at piece_number",
        f"looked_at carton_code {_INSIDE} piece_number item_type along_length_in along_width_in along_height_in "
        "left_in front_in bottom_in lies_at packing_line",
    ),
}
