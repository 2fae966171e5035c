"""What a month's margin per parcel was to be expected at: a band from the twelve months before it, without the month.

A prediction interval for one more value of a normal sample: mean of twelve +- t(11) s sqrt(1 + 1/12) (Hahn and Meeker,
Statistical Intervals, 1991). Months are completed, as the headline states them. The band knows no season and no trend:
it says what is usual, not what is right.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from models.analyses.question import Question
from models.completed_months.expected_amounts import LEVEL

READS = ("analysis.completed_months",)
WRITES = ("analysis.margin_band",)
MONTHS = 12
VALUE = "completed_per_parcel_cents"
BAND = ("usual_per_parcel_cents", "usual_low_cents", "usual_high_cents", "is_unusual")


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.margin_band: one row per month with parcels; the band is null where twelve months before it are not."""
    months = question.table(READS[0]).dropna(subset=[VALUE]).sort_values("shipped_month").set_index("shipped_month")
    values = months.loc[months["parcel_count"] > 0, VALUE].astype(float)
    rows = [
        {"shipped_month": month, VALUE: round(values[month]), **_band(values[month], _before(values, month))}
        for month in values.index
    ]
    made = pd.DataFrame(rows, columns=["shipped_month", VALUE, *BAND])
    return {WRITES[0]: made.astype({**dict.fromkeys((VALUE, *BAND[:3]), "Int64"), BAND[3]: "boolean"})}


def _before(values: pd.Series[float], month: pd.Timestamp) -> pd.Series[float]:
    """The months of the year before the month that have parcels."""
    return values[[back for at in range(1, MONTHS + 1) if (back := month - pd.DateOffset(months=at)) in values.index]]


def _band(value: float, before: pd.Series[float]) -> dict[str, Any]:
    if len(before) < MONTHS:
        return dict.fromkeys(BAND)
    from scipy.stats import t  # takes a second to load, and only a shop with a year of records asks for it

    mean, reach = float(before.mean()), float(t.ppf(0.5 + LEVEL / 2, MONTHS - 1) * before.std(ddof=1))
    low, high = (mean + sign * reach * float(np.sqrt(1 + 1 / MONTHS)) for sign in (-1, 1))
    return dict(zip(BAND, (round(mean), round(low), round(high), not low <= value <= high), strict=True))
