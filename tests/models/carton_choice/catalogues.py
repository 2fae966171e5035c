"""Catalogue rows as the query `catalogue` gives them."""

from __future__ import annotations

from typing import Any

import pandas as pd

BLANK: dict[str, Any] = {
    "effective_from": "2025-01-01",
    "effective_before": None,
    "carton_style": "0201",
    "board_in": 0.16,
    "tare_lb": None,
    "telescope_overlap_in": None,
    "unit_cost_cents": 200,
    "is_cuttable": False,
    "minimum_height_in": None,
    "stock_left": None,
    "minimum_order": None,
    "pack_quantity": None,
    "measured_count": 0,
    "is_rectangular": None,
    "bulge_longest_in": None,
    "bulge_second_in": None,
    "bulge_shortest_in": None,
}


def entry(code: str, inside: tuple[float, float, float], **other: Any) -> dict[str, Any]:
    """One entry; outside sides follow from the board, as in core.cartons."""
    row = {"carton_code": code, **BLANK, **other}
    sides = dict(zip(("length", "width", "height"), inside, strict=True))
    boards = {"length": 2, "width": 2, "height": 4}
    row |= {f"inside_{side}_in": float(length) for side, length in sides.items()}
    return row | {f"outside_{side}_in": length + boards[side] * row["board_in"] for side, length in sides.items()}


def catalogue(*entries: dict[str, Any]) -> pd.DataFrame:
    """The entries as a frame, typed as the engine gives them."""
    frame = pd.DataFrame(list(entries))
    for name in ("effective_from", "effective_before"):
        frame[name] = pd.to_datetime(frame[name]).astype("datetime64[us]")
    frame["is_current"] = frame["effective_before"].isna()
    floats = [
        name
        for name in frame.columns
        if name.startswith("bulge_") or name in ("minimum_height_in", "tare_lb", "telescope_overlap_in")
    ]
    return frame.astype(dict.fromkeys(floats, "float64"))
