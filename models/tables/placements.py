"""Contracts of placement.*: how the goods of one parcel lie in a carton. Made on demand, never stored."""

from models.contracts import Contract, contract

_INSIDE = "inside_length_in inside_width_in inside_height_in"


PLACEMENTS: dict[str, Contract] = {
    "placement.cartons": contract(
        "placement.cartons",
        f"looked_at | carton_code {_INSIDE} is_cut is_end_opening clearance_in piece_count fitted fit_reason",
        "One row per carton looked at: whether the parcel's goods fit it.",
    ),
    "placement.pieces": contract(
        "placement.pieces",
        f"looked_at piece_number | carton_code {_INSIDE} item_type along_length_in along_width_in along_height_in "
        "left_in front_in bottom_in lies_at packing_line",
        "One row per carton looked at and piece: where it lies.",
    ),
}
