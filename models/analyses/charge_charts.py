"""Charts of what carriers charge, by week of shipping: carriage per parcel, and the share of parcels surcharged."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from models.analyses.question import Question
from models.analyses.watched import COST, SHARE, Watched
from models.damage.alarms import in_a_row
from models.damage.arrays import floats
from models.damage.charts import ControlChart, individuals_chart, share_chart

LEAST_BASELINE_WEEKS = 12
# A week is judged once most of its parcels are invoiced: the rest may differ.
LEAST_INVOICED = 0.9
# A surcharge on nearly every parcel cannot become more frequent.
MOST_CHARGED = 0.9


def charge_charts(question: Question, start: pd.Timestamp) -> Iterator[Any]:
    """Charts of each carrier's carriage per parcel and of the share of its parcels with each surcharge."""
    weekly, marked = (_weekly(question, name) for name in ("marts.weekly_charges", "marts.weekly_surcharges"))
    last = pd.Timestamp(question.as_of) - pd.Timedelta(days=6)
    whole = weekly[(weekly["week_on"] <= last) & (weekly["charged_count"] >= LEAST_INVOICED * weekly["parcel_count"])]
    for carrier, part in whole[whole["charged_count"] > 0].groupby("carrier"):
        sizes = part.set_index("week_on")["charged_count"].astype(float)
        baseline = int((sizes.index < start).sum())
        if baseline >= LEAST_BASELINE_WEEKS and len(sizes) > baseline:
            cents = part.set_index("week_on")["billed_cents"].astype(float)
            yield _ChargeChart(f"carriage: {carrier}", COST, cents, sizes, baseline)
            for name, charged in marked[marked["carrier"] == carrier].groupby("surcharge"):
                counts = charged.set_index("week_on")["charged_parcel_count"].astype(float).reindex(sizes.index)
                counts = counts.fillna(0.0).clip(upper=sizes)
                if counts.iloc[:baseline].sum() < MOST_CHARGED * sizes.iloc[:baseline].sum():
                    yield _ChargeChart(f"surcharge: {name}, {carrier}"[:200], SHARE, counts, sizes, baseline)


def _weekly(question: Question, name: str) -> pd.DataFrame:
    rows = question.table(name)
    return rows.assign(week_on=pd.to_datetime(rows["week_on"])).sort_values("week_on")


@dataclass(frozen=True)
class _ChargeChart:
    """Draws one chart of charges once the run length is known. amounts: cents, or parcels charged; by week."""

    cause: str
    chart: str
    amounts: pd.Series[Any]
    parcels: pd.Series[Any]
    baseline: int

    def __call__(self, quiet_weeks: float) -> Watched:
        drawn = self._drawn(quiet_weeks)
        starts = in_a_row(drawn.is_high)
        weeks = pd.DataFrame(
            {
                "week_on": self.amounts.index,
                "seen": drawn.values,
                "expected": drawn.center,
                "score": drawn.values,
                "chart_limit": drawn.upper,
                "is_alarm": np.isin(np.arange(drawn.values.size), starts),
            }
        )
        kept = weeks.iloc[self.baseline :].reset_index(drop=True)
        words = {at: self._words(float(seen), drawn.center) for at, seen in enumerate(kept["seen"])}
        return Watched(self.cause, self.chart, kept, words)

    def _drawn(self, quiet_weeks: float) -> ControlChart:
        amounts, parcels = floats(self.amounts), floats(self.parcels)
        first = self.baseline
        if self.chart == SHARE:
            return share_chart(amounts, parcels, baseline=first, periods_between_false_alarms=quiet_weeks)
        return individuals_chart(amounts / parcels, baseline=first, periods_between_false_alarms=quiet_weeks)

    def _words(self, seen: float, usual: float) -> str:
        if self.chart == SHARE:
            return f"{100 * seen:.0f} of 100 parcels of the week were charged it, usually {100 * usual:.0f}"
        return f"carriage for each parcel of the week was {100 * (seen / usual - 1):.0f} percent above the usual"
