"""Charts of what carriers charge, by week of shipping: carriage per parcel, and the share of parcels surcharged.

Each week is compared with what its own goods and services lead one to expect, by what these cost before. Goods that the
time before hardly knew are left out of their week: nobody knows what is usual for them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from models.analyses.question import Question
from models.damage.alarms import in_a_row
from models.damage.arrays import FloatArray
from models.damage.charts import ControlChart, individuals_chart, share_chart
from models.damage.expected import are_known, expected_counts, rates, widths

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


LEAST_BASELINE_WEEKS = 12
# A week is judged once most of its parcels are invoiced: the rest may differ.
LEAST_INVOICED = 0.9
# A surcharge on nearly every parcel cannot become more frequent.
MOST_CHARGED = 0.9
CELL = ["item_type", "service"]


def charge_charts(question: Question, start: pd.Timestamp) -> Iterator[Any]:
    """Charts of each carrier's carriage per parcel and of the share of its parcels with each surcharge."""
    weekly, marked = (_weekly(question, name) for name in ("marts.weekly_charges", "marts.weekly_surcharges"))
    last = pd.Timestamp(question.as_of) - pd.Timedelta(days=6)
    for carrier, part in weekly[weekly["week_on"] <= last].groupby("carrier"):
        weeks = _judged(part)
        baseline = int((weeks < start).sum())
        if baseline < LEAST_BASELINE_WEEKS or len(weeks) == baseline:
            continue
        sent = _wide(part, "charged_count", weeks)
        sent = sent[are_known(sent.to_numpy(), baseline)]
        yield _ChargeChart(f"carriage: {carrier}", COST, _wide(part, "billed_cents", weeks, sent.index), sent, baseline)
        for name, charged in marked[marked["carrier"] == carrier].groupby("surcharge"):
            counts = _wide(charged, "charged_parcel_count", weeks, sent.index).clip(upper=sent)
            if counts.iloc[:, :baseline].sum().sum() < MOST_CHARGED * sent.iloc[:, :baseline].sum().sum():
                yield _ChargeChart(f"surcharge: {name}, {carrier}"[:200], SHARE, counts, sent, baseline)


def _weekly(question: Question, name: str) -> pd.DataFrame:
    rows = question.table(name)
    return rows.assign(week_on=pd.to_datetime(rows["week_on"]))


def _judged(rows: pd.DataFrame) -> pd.DatetimeIndex:
    """Weeks of which most parcels are invoiced, in order."""
    sums = rows.groupby("week_on")[["charged_count", "parcel_count"]].sum()
    is_enough = (sums["charged_count"] >= LEAST_INVOICED * sums["parcel_count"]) & (sums["charged_count"] > 0)
    return pd.DatetimeIndex(sums.index[is_enough])


def _wide(rows: pd.DataFrame, column: str, weeks: pd.DatetimeIndex, cells: pd.Index[Any] | None = None) -> pd.DataFrame:
    """Cells of item type and service x weeks: sums of the column, none where there is no row."""
    found = rows.pivot_table(index=CELL, columns="week_on", values=column, aggfunc="sum", fill_value=0)
    found = found.astype(float).reindex(columns=weeks, fill_value=0.0)
    return found if cells is None else found.reindex(index=cells, fill_value=0.0)


@dataclass(frozen=True)
class _ChargeChart:
    """Draws one chart of charges once the run length is known. amounts: cents, or parcels charged; parcels: both of
    cells x weeks."""

    cause: str
    chart: str
    amounts: pd.DataFrame
    parcels: pd.DataFrame
    baseline: int

    def __call__(self, quiet_weeks: float) -> Watched:
        drawn = self._drawn(quiet_weeks)
        starts = in_a_row(drawn.is_high)
        weeks = pd.DataFrame(
            {
                "week_on": self.amounts.columns,
                "seen": drawn.values,
                "expected": drawn.center,
                "score": drawn.values,
                "chart_limit": drawn.upper,
                "is_alarm": np.isin(np.arange(drawn.values.size), starts),
            }
        )
        kept = weeks.iloc[self.baseline :].reset_index(drop=True)
        facts = {at: self._facts(week["seen"], week["expected"]) for at, week in enumerate(kept.to_dict("records"))}
        return Watched(self.cause, self.chart, kept, facts)

    def _drawn(self, quiet_weeks: float) -> ControlChart:
        amounts, parcels = self.amounts.to_numpy(), self.parcels.to_numpy()
        sizes, sums = parcels.sum(axis=0), amounts.sum(axis=0)
        if self.chart == SHARE:
            expected = expected_counts(amounts, parcels, self.baseline)
            return share_chart(sums, sizes, expected, periods_between_false_alarms=quiet_weeks)
        return self._of_cost(sums, sizes, parcels, rates(amounts, parcels, self.baseline) @ parcels, quiet_weeks)

    def _of_cost(
        self, cents: FloatArray, sizes: FloatArray, parcels: FloatArray, expected: FloatArray, quiet_weeks: float
    ) -> ControlChart:
        """The chart of cents over expected cents, drawn per parcel."""
        ratios = np.divide(cents, expected, out=np.ones(cents.size), where=expected > 0)
        spread = widths(parcels, self.baseline)
        found = individuals_chart(
            ratios, baseline=self.baseline, periods_between_false_alarms=quiet_weeks, widths=spread
        )
        each = expected / np.maximum(sizes, 1.0)
        return ControlChart(found.values * each, found.center * each, found.lower * each, found.upper * each)

    def _facts(self, seen: float, usual: float) -> dict[str, float]:
        if self.chart == SHARE:
            return {"seen_share": seen, "expected_share": usual}
        return {"excess_share": seen / usual - 1}
