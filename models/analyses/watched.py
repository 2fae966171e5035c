"""One chart's weeks, as every chart of alarms.py gives them."""

from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

CLAIMS, SHARE, COST = "claims by week", "share surcharged", "cost per parcel"
WEEK = pd.Timedelta(days=7)


@dataclass(frozen=True)
class Watched:
    """weeks: week_on, seen, expected, score, chart_limit, is_alarm. facts: what an alarm in the numbered week says
    besides, by column of analysis.alarms.
    """

    cause: str
    chart: str
    weeks: pd.DataFrame
    facts: Mapping[int, Mapping[str, float]]
