"""Carriage still to be billed: of parcels on record without a bill, and what later invoices will add to billed ones."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.completed_months.expected_amounts import NOTHING, Drawn, normal
from models.completed_months.invoice_delays import billed_by_day, settled, share_of_month
from models.completed_months.usual import Spread, before, means, spread_of
from models.damage.arrays import BoolArray, FloatArray, floats

# Parcels on which the ratio of billed to expected counts as much as a ratio of one (common practice, no source).
ENOUGH_RATED = 20.0


@dataclass(frozen=True)
class Unbilled:
    """to_come: carriage expected. parcels: on record without a bill. unpriced: of these, without any expectation."""

    to_come: Drawn
    parcels: int
    unpriced: int


def unbilled(cells: pd.DataFrame, month: pd.Timestamp, as_of: pd.Timestamp, rng: np.random.Generator) -> Unbilled:
    """What the month's parcels without a bill will be billed.

    cells: marts.carriage_cells. By the tariff's price where there is one, times what the carrier bills of its
    tariff's prices; else by what such a parcel usually costs. Of a carrier's parcels, as many as usually never get a
    bill are left out. A parcel of a carrier that never billed, without a price, is not expected to cost anything known.
    """
    rows = cells[cells["shipped_month"] == month]
    rows = rows[rows["parcel_count"] > rows["charged_count"]]
    if rows.empty:
        return Unbilled(NOTHING, 0, 0)
    known = before(cells, month)
    waiting = floats(rows["parcel_count"]) - floats(rows["charged_count"])
    priced, expected = floats(rows["unbilled_priced_count"]), floats(rows["unbilled_expected_cents"])
    others, is_known = waiting - priced, _has_bills(cells, rows)
    due = _share_due(cells, rows, as_of)
    usual = np.nan_to_num(means(known, rows, "billed_cents", "charged_count"))
    by_price = float((due * expected * _ratios(known, rows)).sum())
    by_use = float((due * others * is_known * usual).sum())
    spread, counted = spread_of(known), float(known["charged_count"].sum())
    variance = _rated(known, spread).variance(by_price, float((due * priced).sum()), counted)
    variance += spread.variance(by_use, float((due * others * is_known).sum()), counted)
    return Unbilled(normal(by_price + by_use, variance, rng), int(waiting.sum()), int((others * ~is_known).sum()))


def _has_bills(cells: pd.DataFrame, rows: pd.DataFrame) -> BoolArray:
    billed = cells.groupby("carrier")["charged_count"].sum()
    return np.asarray(floats(rows["carrier"].map(billed)) > 0, dtype=bool)


def _share_due(cells: pd.DataFrame, rows: pd.DataFrame, as_of: pd.Timestamp) -> FloatArray:
    """Of each row's parcels without a bill, the share that is more than usually never gets one.

    A month without any bill of a carrier lacks its invoices; it does not show how many parcels never get one.
    """
    by = cells.groupby(["carrier", "shipped_month"])[["parcel_count", "charged_count"]].sum().reset_index()
    by["never"] = 1.0 - by["charged_count"].astype(float) / by["parcel_count"].astype(float)
    usual = settled(by[by["charged_count"] > 0], as_of).groupby("carrier")["never"].median()
    month = by[by["shipped_month"] == rows["shipped_month"].iloc[0]].set_index("carrier")["never"]
    share = (1.0 - usual.reindex(month.index).fillna(0.0) / month.where(month > 0)).clip(0.0, 1.0).fillna(0.0)
    return floats(rows["carrier"].map(share))


def _ratios(known: pd.DataFrame, rows: pd.DataFrame) -> FloatArray:
    """What each row's carrier bills of its tariff's prices."""
    names = ["priced_count", "priced_billed_cents", "priced_expected_cents"]
    sums = known[names].astype(float).mul(known["weight"], axis=0).groupby(known["carrier"]).sum()
    per_parcel = sums["priced_expected_cents"] / sums["priced_count"].where(sums["priced_count"] > 0)
    extra = (ENOUGH_RATED * per_parcel).fillna(1.0)
    ratio = (sums["priced_billed_cents"] + extra) / (sums["priced_expected_cents"] + extra)
    return floats(rows["carrier"].map(ratio).fillna(1.0))


def _rated(known: pd.DataFrame, spread: Spread) -> Spread:
    """The spread around the tariff's prices; that around usual costs where no bill was rated."""
    count = float(known["priced_count"].sum())
    if count < 2:
        return spread
    bias = float((known["priced_billed_cents"] - known["priced_expected_cents"]).sum()) / count
    return Spread(max(float(known["miss_square"].sum()) / count - bias**2, 0.0), min(spread.drift, 0.02))


def later_charges(
    cells: pd.DataFrame, delays: pd.DataFrame, month: pd.Timestamp, as_of: pd.Timestamp, rng: np.random.Generator
) -> Drawn:
    """What invoices after the first one will still add to the month's billed parcels, from marts.invoice_delays."""
    curves = billed_by_day(delays, as_of, "later_cents")
    billed = cells[cells["shipped_month"] == month].groupby("carrier")["charged_count"].sum().astype(float)
    names = ["first_billed_count", "later_cents", "later_square"]
    usual = settled(delays, as_of).groupby("carrier")[names].sum().astype(float)
    mean = variance = 0.0
    for carrier in [each for each in billed.index if each in curves and usual.loc[each, "first_billed_count"] > 0]:
        parcels, cents, square = (float(usual[name].loc[carrier]) for name in names)
        left = float(billed.loc[carrier]) * (1.0 - share_of_month(curves[str(carrier)], month, as_of))
        mean, variance = mean + left * cents / parcels, variance + left * square / parcels
    return normal(mean, variance, rng) if round(mean) or variance > 1 else NOTHING
