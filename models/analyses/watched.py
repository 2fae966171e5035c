"""One chart's weeks, as every chart of alarms.py gives them."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

CLAIMS, SHARE, COST = "claims by week", "share surcharged", "cost per parcel"
WEEK = pd.Timedelta(days=7)


@dataclass(frozen=True)
class Watched:
    """weeks: week_on, seen, expected, score, chart_limit, is_alarm. words: what an alarm in the numbered week says."""

    cause: str
    chart: str
    weeks: pd.DataFrame
    words: dict[int, str]
