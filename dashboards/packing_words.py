"""The packing of one parcel for a terminal: each carton looked at, then its packing list."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from dashboards import sentences
from dashboards.cautions import CUTTING
from dashboards.sentences import words
from dashboards.sentences.placements import CARTONS, PIECES
from models.plain_rows import as_dicts
from models.shop_units import Units

if TYPE_CHECKING:
    import pandas as pd

CARTON = words(
    "packing.carton packing.fits packing.does_not_fit packing.undecided packing.not_looked_at packing.opens_at_end "
    "packing.cut_down"
)


def packing_words(tables: Mapping[str, pd.DataFrame], units: Units) -> str:
    """Lines to read. tables: those of models/tables/cartons.py."""
    cartons, pieces = as_dicts(tables[CARTONS]), as_dicts(tables[PIECES])
    lines = [line for carton in cartons for line in _reported(carton, pieces, units)]
    return "\n".join([*lines, *([f"  {CUTTING}"] if any(each["is_cut"] for each in cartons) else [])])


def _reported(carton: Mapping[str, Any], pieces: Sequence[Mapping[str, Any]], units: Units) -> Iterator[str]:
    yield " ".join(sentences.lines_of(CARTON, CARTONS, [carton], units))
    yield from (f"  {each['packing_line']}" for each in pieces if each["looked_at"] == carton["looked_at"])
