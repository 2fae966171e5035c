"""Void fill and tare: what a carton adds to a parcel beside its own price, as far as the shop states it.

Void fill takes the room that goods and their clearance leave: (L - c)(W - c)(H - c) less (l + c)(w + c)(h + c) of each
piece, the same reckoning by which pieces fit (models/packing/needed.py); none in a carton that closes on its goods.
Pieces that may be wrapped together take the least room in which they are known to go.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.packing.bundles import variants
from models.packing.needed import Contents
from models.settings.cartons import Cartons

IN3_PER_FT3 = 1728
VOIDS = ["void_cents", "void_lb"]


@dataclass(frozen=True)
class VoidFill:
    """What a cubic inch of it costs and weighs; nothing where the shop states neither."""

    cents_per_in3: float = 0.0
    lb_per_in3: float = 0.0

    @property
    def is_stated(self) -> bool:
        """Whether any of it is."""
        return self.cents_per_in3 > 0 or self.lb_per_in3 > 0


def stated_fill(settings: Cartons) -> VoidFill:
    """The shop's, from its price and weight by the cubic foot."""
    return VoidFill(settings.void_fill_cents_per_ft3 / IN3_PER_FT3, settings.void_fill_lb_per_ft3 / IN3_PER_FT3)


def filled_in3(packed: Contents) -> float:
    """Room that goods take with their clearance, single or wrapped together, in cubic inches."""
    return min(_taken_in3(each) for each in (packed, *variants(packed)))


def _taken_in3(packed: Contents) -> float:
    room = packed.clearance_in
    return sum(
        quantity * (item.length_in + room) * (item.width_in + room) * (item.height_in + room)
        for item, quantity in packed.lines
    )


def void_in3(packed: Contents, insides_in: NDArray[np.float64]) -> NDArray[np.float64]:
    """Room left in each inside (n x 3), in cubic inches."""
    room = np.asarray(insides_in, dtype=float).reshape(-1, 3) - packed.clearance_in
    return np.asarray(np.maximum(0.0, room.prod(axis=1) - filled_in3(packed)))


def with_void_fill(
    pairs: pd.DataFrame, many: Mapping[int, Contents], insides_in: NDArray[np.float64], fill: VoidFill
) -> pd.DataFrame:
    """Pairs of contents_key and option_key with VOIDS of each."""
    left = np.zeros(len(pairs))
    if fill.is_stated:
        options = pairs["option_key"].to_numpy(dtype=np.int64)
        for key, at in pairs.groupby("contents_key").indices.items():
            left[at] = void_in3(many[int(str(key))], insides_in[options[at]])
    cents = np.rint(left * fill.cents_per_in3).astype(np.int64)
    return pairs.assign(void_cents=cents, void_lb=left * fill.lb_per_in3)


def filled_rows(many: Mapping[int, Contents]) -> pd.DataFrame:
    """One row per contents: contents_key, void_clearance_in, filled_in3."""
    rows = [(key, packed.clearance_in, filled_in3(packed)) for key, packed in many.items()]
    return pd.DataFrame(rows, columns=["contents_key", "void_clearance_in", "filled_in3"])
