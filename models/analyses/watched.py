"""One chart's weeks, as every chart of alarms.py gives them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

CLAIMS, SHARE, COST = "claims by week", "share surcharged", "cost per parcel"
# What an alarm says beside its week: columns of analysis.alarms, by the kind of chart.
FACTS = (
    *("span_week_count", "span_claim_count", "span_expected_claims", "seen_share", "expected_share", "excess_share"),
)
WEEK = pd.Timedelta(days=7)


@dataclass(frozen=True)
class Watched:
    """weeks: week_on, seen, expected, score, chart_limit, is_alarm. facts: of an alarm in the
    numbered week, by FACTS.
    """

    cause: str
    chart: str
    weeks: pd.DataFrame
    facts: Mapping[int, Mapping[str, float]]
