"""How long invoices take: the share of a carrier's parcels that is billed so many days after shipping."""

from collections.abc import Mapping

import numpy as np
import pandas as pd

from models.damage.arrays import FloatArray, floats

# A month this many days past has its invoices, or they will not come (common practice, no source).
SETTLED_DAYS = 60
MOST_MONTHS = 12
LONGEST_DAYS = 400
# A month is reviewed when so much of it is usually billed (common practice, no source).
ENOUGH = 0.90
Curves = Mapping[str, FloatArray]


def settled(rows: pd.DataFrame, as_of: pd.Timestamp) -> pd.DataFrame:
    """The rows of the last months that ended SETTLED_DAYS before the day; all rows where there is none."""
    months = pd.to_datetime(rows["shipped_month"])
    is_old = months + pd.offsets.MonthEnd(0) <= as_of - pd.Timedelta(days=SETTLED_DAYS)
    latest = months[is_old].drop_duplicates().nlargest(MOST_MONTHS)
    return rows.loc[months.isin(latest)] if is_old.any() else rows


def billed_by_day(delays: pd.DataFrame, as_of: pd.Timestamp, column: str = "first_billed_count") -> Curves:
    """By carrier, the cumulative share billed 0, 1, ... LONGEST_DAYS days after shipping, from marts.invoice_delays.

    column: what is counted, parcels or cents; carriers without any are left out.
    """
    known = settled(delays, as_of)
    found: dict[str, FloatArray] = {}
    for carrier, rows in known.groupby("carrier"):
        days = np.clip(rows["delay_days"].to_numpy(np.int64), 0, LONGEST_DAYS)
        counts = np.bincount(days, np.abs(floats(rows[column])), minlength=LONGEST_DAYS + 1)
        if counts.sum() > 0:
            found[str(carrier)] = np.cumsum(counts) / counts.sum()
    return found


def share_of_month(curve: FloatArray, month: pd.Timestamp, as_of: pd.Timestamp) -> float:
    """The mean share billed on a day, of parcels shipped evenly through the month, until the day."""
    days = pd.date_range(month, min(month + pd.offsets.MonthEnd(0), as_of))
    if days.empty:
        return 0.0
    ages = np.clip((as_of - days).days.to_numpy(np.int64), 0, LONGEST_DAYS)
    return float(curve[ages].mean())


def is_usually_billed(delays: pd.DataFrame, month: pd.Timestamp, as_of: pd.Timestamp) -> bool:
    """Whether ENOUGH of a month that is over is usually billed by the day; so it counts where no delay is known."""
    curves = billed_by_day(delays, as_of)
    if not curves:
        return True
    settled_rows = settled(delays, as_of)
    parcels = settled_rows.groupby("carrier")["first_billed_count"].sum()
    shares = [share_of_month(curve, month, as_of) * float(parcels[carrier]) for carrier, curve in curves.items()]
    return sum(shares) >= ENOUGH * float(parcels[list(curves)].sum())
