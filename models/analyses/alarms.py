"""What went up between reviews: damage claims by week of report, surcharges and carriage by week of shipping.

Watched are whole weeks since the quarter that began at least a quarter ago; what was usual is learned from the time
before. Both stand still for three months, so an alarm keeps its name from one look to the next. All charts together
give a false alarm once in `weeks_between_false_alarms` weeks: each chart alone is set to so many times that as there
are charts.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from models.analyses.charge_charts import CLAIMS, WEEK, Watched, charge_charts
from models.analyses.damage_records import READS as RECORDS
from models.analyses.damage_records import DamageRecords, records_known_on, settings_of
from models.analyses.question import Question, answer
from models.damage.alarms import cusum_path, design_weekly_cusum, one_alarm_per_cause
from models.damage.arrays import FloatArray, floats
from models.damage.rates import fit_beta_binomial
from models.damage.reporting_lags import expected_reports

READS = (*RECORDS, "marts.weekly_charges", "marts.weekly_surcharges", "shop.acknowledgements")
WRITES = ("analysis.watched_weeks", "analysis.alarms")
ALL = "damage: all item types"
# An item type with fewer claims a week is watched with the others: alone it could not signal before a quarter is over.
LEAST_WEEKLY = 0.25
LEAST_BASELINE_CLAIMS = 10


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.watched_weeks and analysis.alarms."""
    start = first_week(pd.Timestamp(question.as_of))
    candidates = [*_claim_series(question, start), *charge_charts(question, start)]
    quiet = settings_of(question).weeks_between_false_alarms
    watched = [draw(quiet * len(candidates)) for draw in candidates]
    weeks = [each.weeks.assign(cause=each.cause, chart=each.chart) for each in watched if len(each.weeks)]
    rows = answer(WRITES[0], pd.concat(weeks, ignore_index=True) if weeks else ())
    seen = set(question.table("shop.acknowledgements")["alarm_id"])
    return dict(zip(WRITES, (rows, _alarms(watched, quiet, seen)), strict=True))


def first_week(as_of: pd.Timestamp) -> pd.Timestamp:
    """The first Monday of the quarter that began at least a quarter (13 weeks) before."""
    quarter = (as_of - 13 * WEEK).to_period("Q").start_time
    return quarter + pd.Timedelta(days=(7 - quarter.day_of_week) % 7)


def _alarms(watched: list[Watched], quiet: float, seen: set[str]) -> pd.DataFrame:
    found = [
        {"cause": each.cause, "chart": each.chart, "position": week, "at": at, "watched": number}
        for number, each in enumerate(watched)
        for at, week in enumerate(each.weeks["week_on"])
        if each.weeks["is_alarm"].iloc[at]
    ]
    first = one_alarm_per_cause(pd.DataFrame(found, columns=["cause", "chart", "position", "at", "watched"]))
    named = first["cause"].str.startswith("damage: ") & (first["cause"] != ALL)
    # What an item type's own chart reported is not reported again for the whole shop.
    kept = first[~((first["cause"] == ALL) & bool(named.any()))]
    rows = [_alarm(row, watched[row["watched"]], quiet, seen) for row in kept.to_dict("records")]
    return answer(WRITES[1], rows)


def _alarm(row: dict[Any, Any], watched: Watched, quiet: float, seen: set[str]) -> dict[str, Any]:
    name = re.sub(r"[^a-z0-9]+", "-", row["cause"].lower()).strip("-")
    week = watched.weeks.iloc[row["at"]]
    alarm_id = f"{row['position']:%Y-%m-%d}-{name}"[:200]
    return {
        "alarm_id": alarm_id,
        "cause": row["cause"],
        "chart": row["chart"],
        "week_on": row["position"],
        **watched.facts[row["at"]],
        "seen": week["seen"],
        "expected": week["expected"],
        "quiet_weeks": quiet,
        "is_acknowledged": alarm_id in seen,
    }


def _claim_series(question: Question, start: pd.Timestamp) -> list[Any]:
    """Charts of claims: the shop's, and of each item type with claims enough to be watched alone."""
    before, now = records_known_on(question, [(start - pd.Timedelta(days=1)).date(), question.as_of])
    base = before.since(before.last_shipped_on - pd.DateOffset(months=now.settings.months)).summed(["item_type"])
    if base["claims"].sum() < LEAST_BASELINE_CLAIMS:
        return []
    claims, exposure = floats(base["claims"]), floats(base["exposure"])
    alpha, beta = fit_beta_binomial(claims, exposure)
    usual = (claims + alpha) / (exposure + alpha + beta)
    rates = dict(zip(base["item_type"], usual, strict=True))
    expected, seen = _expected(now, before, rates, start), _seen(now, start)
    enough = [name for name in expected if expected[name].mean() >= LEAST_WEEKLY] if len(expected) else []
    series = [(ALL, expected.sum(axis=1), seen.sum(axis=1))]
    series += [(f"damage: {name}", expected[name], seen[name]) for name in enough if len(expected.columns) > 1]
    return [_CusumChart(*each) for each in series if len(each[1])]


def _weeks(records: DamageRecords, start: pd.Timestamp) -> pd.DatetimeIndex:
    """Mondays of the whole weeks from `start`, as far as claims are on record."""
    known = records.claims_to - start
    count = max(int(known // WEEK + (known % WEEK == 6 * WEEK / 7)), 0)
    return pd.date_range(start, periods=count, freq="7D")


def _expected(now: DamageRecords, before: DamageRecords, rates: dict[str, float], start: pd.Timestamp) -> pd.DataFrame:
    """Claims to be expected, weeks x item types, from the parcels shipped and the lag curve known before."""
    weeks = _weeks(now, start)
    begin = start - pd.Timedelta(days=now.settings.window_days)
    days = pd.date_range(begin, start + len(weeks) * WEEK, inclusive="left")
    cells = now.cells[now.cells["item_type"].isin(rates)]
    sent = (
        cells.groupby(["shipped_on", "item_type"])["parcel_count"]
        .sum()
        .unstack(fill_value=0)
        .reindex(days, fill_value=0)
    )
    made = {str(name): expected_reports(floats(sent[name]) * rates[str(name)], before.curve) for name in sent}
    by_day = pd.DataFrame(made, index=days).loc[start:]
    return by_day.groupby((pd.DatetimeIndex(by_day.index) - start) // WEEK).sum().set_axis(weeks)


def _seen(now: DamageRecords, start: pd.Timestamp) -> pd.DataFrame:
    """Claims by week of report, weeks x item types."""
    weeks = _weeks(now, start)
    since = now.claims[now.claims["opened_on"] >= start]
    claims = since.assign(week_on=start + ((since["opened_on"] - start) // WEEK) * WEEK)
    counts = claims.groupby(["week_on", "item_type"]).size().unstack(fill_value=0).reindex(weeks, fill_value=0)
    names = sorted(now.cells["item_type"].unique())
    return counts.reindex(columns=names, fill_value=0).astype(float)


@dataclass(frozen=True)
class _CusumChart:
    """Draws one chart of claims by week once the run length is known."""

    cause: str
    expected: pd.Series[Any]
    seen: pd.Series[Any]

    def __call__(self, quiet_weeks: float) -> Watched:
        expected, seen = floats(self.expected), floats(self.seen)
        design = design_weekly_cusum(max(float(expected.mean()), 0.01), quiet_weeks)
        path, alarms = cusum_path(design.increments(seen, expected), design.limit)
        scale = 1.0 / design.claim_score  # in claims, which a reader knows
        weeks = pd.DataFrame(
            {
                "week_on": self.expected.index,
                "seen": seen,
                "expected": expected,
                "score": path * scale,
                "chart_limit": design.limit * scale,
                "is_alarm": np.isin(np.arange(seen.size), alarms),
            }
        )
        return Watched(self.cause, CLAIMS, weeks, {int(at): self._span(int(at), path) for at in alarms})

    def _span(self, at: int, path: FloatArray) -> dict[str, float]:
        """Claims seen and expected since the sum last stood at nothing."""
        quiet = np.flatnonzero(path[:at] <= 0)
        begin = int(quiet[-1]) + 1 if quiet.size else 0
        span = slice(begin, at + 1)
        return {
            "span_week_count": at + 1 - begin,
            "span_claim_count": round(float(self.seen.iloc[span].sum())),
            "span_expected_claims": float(self.expected.iloc[span].sum()),
        }
