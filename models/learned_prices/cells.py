"""Bills counted into cells of service, zone and weight band, as the arrays that prices are learned from."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
LANE = ["service", "zone"]
# Prices are smoothed at no more weights than this; between them they are interpolated.
MOST_KNOTS = 300


@dataclass(frozen=True)
class Cells:
    """Cells that have bills, of one carrier.

    lanes: pairs of service and zone. lane, band: of each cell, the place of its lane and its weight band, a whole
    number; counts: its bills. low, high: the two middle bills, the same where the count is odd, as logarithms of cents.
    spreads: for each bill, how far it is from the middle of its cell, where that has three or more.
    """

    lanes: tuple[tuple[str, str], ...]
    lane: Places
    band: Places
    counts: Numbers
    low: Numbers
    high: Numbers
    spreads: Numbers

    @property
    def knots(self) -> Places:
        """The bands at which prices are smoothed: those seen, or as many of them as are allowed."""
        seen = np.unique(self.band)
        if len(seen) <= MOST_KNOTS:
            return seen
        return seen[np.unique(np.linspace(0, len(seen) - 1, MOST_KNOTS).round().astype(np.intp))]


def banded(bills: pd.DataFrame, step: float) -> pd.DataFrame:
    """The bills that can be learned from, with `band`: the least whole number of steps that holds the billed weight."""
    usable = bills[(bills["billed_weight"] > 0) & (bills["base_cents"] > 0)].dropna(subset=LANE)
    return usable.assign(band=np.ceil(np.round(usable["billed_weight"] / step, 6)).astype(np.intp))


def cells(bills: pd.DataFrame) -> Cells:
    """The cells of bills with a band."""
    sorted_bills = bills.assign(log=np.log(bills["base_cents"].astype(np.float64))).sort_values([*LANE, "band", "log"])
    logs = sorted_bills["log"].to_numpy()
    keys, lanes = _numbered(sorted_bills)
    starts = np.flatnonzero(np.r_[True, (np.diff(keys, axis=0) != 0).any(axis=1)]) if len(keys) else np.empty(0, int)
    sizes = np.diff(np.r_[starts, len(keys)])
    low, high = logs[starts + (sizes - 1) // 2], logs[starts + sizes // 2]
    is_spread = np.repeat(sizes >= 3, sizes)
    spreads = np.abs(logs - np.repeat((low + high) / 2, sizes))[is_spread]
    return Cells(lanes, keys[starts, 0], keys[starts, 1], sizes.astype(np.float64), low, high, spreads)


def _numbered(bills: pd.DataFrame) -> tuple[Places, tuple[tuple[str, str], ...]]:
    """Each bill's place of lane and band, and the lanes."""
    grouped = bills.groupby(LANE, sort=True, observed=True)
    place = grouped.ngroup().to_numpy(dtype=np.intp)
    names = bills[LANE].drop_duplicates().astype(str)
    lanes = tuple(zip(names["service"], names["zone"], strict=True))
    return np.column_stack([place, bills["band"].to_numpy(dtype=np.intp)]), lanes
