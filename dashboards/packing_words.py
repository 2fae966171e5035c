"""The packing of one parcel for a terminal: each carton looked at, then its packing list."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import pandas as pd

from dashboards import sentences
from dashboards.cautions import CUTTING
from dashboards.parts import Records
from dashboards.sentences.parcel import PACKING
from dashboards.sentences.placements import CARTONS, PIECES
from dashboards.words import words
from models.shop_units import Units

CARTON = words(
    "packing.carton packing.fits packing.does_not_fit packing.undecided packing.not_looked_at packing.opens_at_end "
    "packing.cut_down"
)


def packing_words(tables: Mapping[str, pd.DataFrame], units: Units) -> str:
    """Lines to read. tables: those of models/tables/placements.py."""
    cartons = tables[CARTONS]
    lines = [line for at in range(len(cartons)) for line in _reported(cartons.iloc[[at]], tables[PIECES], units)]
    return "\n".join([*lines, *([f"  {CUTTING}"] if cartons["is_cut"].any() else [])])


def not_placed(lacking: str, units: Units) -> str:
    """Why it is not known how the goods lie. lacking: what the records lack."""
    rows = pd.DataFrame({"lacking_words": [lacking]})
    return "\n".join(sentences.lines(["parcel.packing_not_known"], Records(tables={PACKING: rows}), units))


def _reported(carton: pd.DataFrame, pieces: pd.DataFrame, units: Units) -> Iterator[str]:
    yield " ".join(sentences.lines(CARTON, Records(tables={CARTONS: carton}), units))
    for line in pieces.loc[pieces["looked_at"] == carton["looked_at"].iloc[0], "packing_line"]:
        yield f"  {line}"
