"""What a parcel usually costs: means of ever narrower groups, each drawn towards the wider; later months count more."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.damage.arrays import FloatArray, floats

# A group's own mean counts as much as its wider group's where it has so many parcels (common practice, no source).
ENOUGH_PARCELS = 5.0
# A month counts so much less for each month that it is older (common practice, no source).
FADING = 0.85
MONTHS = 12
LEVELS: tuple[tuple[str, ...], ...] = (
    ("carrier",),
    ("carrier", "item_type"),
    ("carrier", "item_type", "service", "zone"),
)
# How far a month's mean strays from what was usual, as a share, where too few months show it, and within what limits.
DRIFT, LEAST_DRIFT, MOST_DRIFT = 0.05, 0.01, 0.25
LEAST_MONTHS = 4
# Standard deviation of one parcel's cost over the mean, where no two alike were billed (common practice, no source).
UNSEEN_SPREAD = 0.5


def before(cells: pd.DataFrame, month: pd.Timestamp) -> pd.DataFrame:
    """marts.carriage_cells of the month and the eleven before it, or of all months where none of these was billed; with
    `weight`, by how long ago."""
    months = cells["shipped_month"]
    year = cells[(months <= month) & (months > month - pd.DateOffset(months=MONTHS))]
    rows = year if year["charged_count"].sum() else cells
    apart = (rows["shipped_month"].dt.year - month.year) * 12 + rows["shipped_month"].dt.month - month.month
    return rows.assign(weight=FADING ** apart.abs().to_numpy(float))


def means(
    known: pd.DataFrame, wanted: pd.DataFrame, amount: str, count: str, levels: Sequence[tuple[str, ...]] = LEVELS
) -> FloatArray:
    """The mean of `amount` per `count` for each wanted row, from rows of `before`; not a number where nothing is
    known. Shape (wanted,)."""
    weighted = known[[amount, count]].astype(float).mul(known["weight"], axis=0)
    whole = float(weighted[count].sum())
    mean = np.full(len(wanted), float(weighted[amount].sum()) / whole if whole > 0 else np.nan)
    for level in levels:
        sums = weighted.groupby([known[name] for name in level]).sum()
        keys = wanted[level[0]] if len(level) == 1 else pd.MultiIndex.from_frame(wanted[list(level)])
        found = sums.reindex(keys)
        mean = (floats(found[amount]) + ENOUGH_PARCELS * mean) / (floats(found[count]) + ENOUGH_PARCELS)
    return mean


@dataclass(frozen=True)
class Spread:
    """parcel: variance of one parcel's cost around its group's mean, in square cents. drift: standard deviation of a
    month's mean around what was usual, as a share of it."""

    parcel: float
    drift: float

    def variance(self, mean: float, parcels: float, known: float) -> float:
        """Of the sum over some parcels with that mean sum: by chance, by the mean's own error, by drift."""
        own = self.parcel * (parcels + parcels**2 / max(known, 1.0))
        return own + (self.drift * mean) ** 2


def spread_of(known: pd.DataFrame) -> Spread:
    """The spread of billed amounts in rows of `before`."""
    groups = known.groupby(list(LEVELS[-1]))[["charged_count", "billed_cents", "billed_square"]].sum().astype(float)
    several = groups[groups["charged_count"] > 1]
    within = several["billed_square"] - several["billed_cents"] ** 2 / several["charged_count"]
    freedom = float(several["charged_count"].sum() - len(several))
    count = float(groups["charged_count"].sum())
    mean = float(groups["billed_cents"].sum()) / count if count else 0.0
    parcel = float(within.sum()) / freedom if freedom > 0 else (UNSEEN_SPREAD * mean) ** 2
    return Spread(max(parcel, 0.0), _drift(known, parcel))


def _drift(known: pd.DataFrame, parcel: float) -> float:
    usual = means(known, known, "billed_cents", "charged_count")
    rows = known.assign(usual=usual * known["charged_count"].astype(float))
    months = rows.groupby("shipped_month")[["charged_count", "billed_cents", "usual"]].sum().astype(float)
    months = months[months["usual"] > 0]
    if len(months) < LEAST_MONTHS:
        return DRIFT
    by_chance = (parcel * months["charged_count"] / months["usual"] ** 2).mean()
    seen = float((months["billed_cents"] / months["usual"]).var())
    return float(np.sqrt(np.clip(seen - by_chance, LEAST_DRIFT**2, MOST_DRIFT**2)))
