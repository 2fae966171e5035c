"""The packing of one parcel for a terminal: each carton looked at, then its packing list."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import pandas as pd

from models.packing.geometry import CAUTION
from models.shop_units import LENGTH, Units

# By placement.cartons.fitted. A carton that was used did hold its goods: what does not fit is the clearance.
ANSWERS = {
    "fits": "the goods fit, {clear}",
    "does not fit": "the goods do not fit with {clear}: {reason}",
    "undecided": "no way was found that leaves {clear}: {reason}",
    "not looked at": "not looked at: {reason}",
}


def packing_words(tables: Mapping[str, pd.DataFrame], units: Units) -> str:
    """Lines to read. tables: those of models/tables/placements.py."""
    cartons = tables["placement.cartons"]
    lines = [line for carton in cartons.to_dict("records") for line in _reported(carton, tables, units)]
    return "\n".join([*lines, *([f"  {CAUTION}."] if cartons["is_cut"].any() else [])])


def _reported(carton: Mapping[Any, Any], tables: Mapping[str, pd.DataFrame], units: Units) -> Iterator[str]:
    inside = units.measured(LENGTH, *(carton[f"inside_{side}_in"] for side in ("length", "width", "height")))
    end = ", opening at its end" if carton["is_end_opening"] else ""
    cut = ", cut down" if carton["is_cut"] else ""
    where = f"{carton['carton_code']}, inside {inside}{end}{cut}, {carton['looked_at']}"
    yield f"Packing in {where}: {_answer(carton, units)}."
    pieces = tables["placement.pieces"]
    for line in pieces.loc[pieces["looked_at"] == carton["looked_at"], "packing_line"]:
        yield f"  {line}"


def _answer(carton: Mapping[Any, Any], units: Units) -> str:
    clear = f"{units.measured(LENGTH, carton['clearance_in'])} clear on every side"
    return ANSWERS[carton["fitted"]].format(clear=clear, reason=carton["fit_reason"])
