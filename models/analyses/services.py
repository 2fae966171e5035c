"""Who should have carried it: for which goods and zones another service costs less, by the tariffs.

For each item type, service used and zone the other service that saves most in the older months is chosen; zones in a
row with the same choice are one rule. What it saves is measured on the newest months, which had no say in the choice.
Both sides are what tariffs expect of the same parcels, whether the carrier billed so or not.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import floor
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.analyses.question import Question
from models.settings.cartons import Cartons

CELLS = "service_cells"
READS = (CELLS, "service_coverage", "service_totals")
NEEDS = "analysis.parcel_services"
WRITES = ("analysis.service_rules", "analysis.service_coverage", "analysis.service_totals")
LANE = ["item_type", "carrier", "service", "zone"]
OTHER = ["other_carrier", "other_service"]
RULE = [*LANE[:3], "zone_low", "zone_high", *OTHER]
SUMS = ["parcel_count", "expected_cents", "other_cents", "billed_parcel_count", "billed_cents"]
COLUMNS = [
    *(*RULE, "parcels_per_month", *SUMS, "saving_cents", "held_out_parcel_count", "week_count"),
    *("saving_per_parcel_cents", "saving_low_cents", "saving_high_cents", "sure_saving_cents", "learned_within_cents"),
    *("service_month_cents", "is_advised"),
]
MONTHS = 12
# Of the saving for each parcel: lower limit of 95 percent, of 80 percent, upper limit of 95 percent.
LIMITS = (0.025, 0.1, 0.975)
# Were a loss as likely as a saving in each week, fewer weeks of saving in a row would pass by chance in more than one
# case of ten, which is what an 80 percent interval allows above it.
LEAST_WEEKS = 4
DRAWS = 4000


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """The tables of WRITES."""
    hold_out = Cartons(**question.options.get("cartons", {})).hold_out_months
    return {
        "analysis.service_rules": rules(question.table(CELLS), hold_out),
        "analysis.service_coverage": question.table("service_coverage"),
        "analysis.service_totals": question.table("service_totals"),
    }


def rules(cells: pd.DataFrame, hold_out: int) -> pd.DataFrame:
    """analysis.service_rules. cells: rows of the query service_cells. hold_out: so many last months are held out."""
    if cells.empty:
        return pd.DataFrame(columns=COLUMNS)
    ago = months_ago(cells)
    months = min(MONTHS, int(ago.max()) + 1)
    known = cells.assign(
        saving_cents=cells["expected_cents"] - cells["other_cents"], is_held=ago < hold_out, is_year=ago < months
    )
    named = with_rules(known)
    rows = [_rule(part, months) for _, part in named.groupby(RULE, dropna=False, sort=True)]
    found = pd.DataFrame(rows, columns=COLUMNS)
    return found.sort_values("service_month_cents", ascending=False, kind="stable", ignore_index=True)


def months_ago(cells: pd.DataFrame) -> pd.Series[int]:
    """How many months before the last month of shipping each cell lies; 0 for that month."""
    month, last = (pd.to_datetime(cells[name]).dt for name in ("shipped_month", "last_month"))
    ago: pd.Series[int] = (last.year - month.year) * 12 + last.month - month.month
    return ago


def with_rules(cells: pd.DataFrame) -> pd.DataFrame:
    """The cells of the services chosen on the older months, each with the first and last zone of its rule."""
    older = cells[~cells["is_held"]]
    saved = older.groupby([*LANE, *OTHER], dropna=False, as_index=False)["saving_cents"].sum()
    best = saved[saved["saving_cents"] > 0].sort_values("saving_cents", ascending=False, kind="stable")
    chosen = best.drop_duplicates(LANE)[[*LANE, *OTHER]]
    spans = [
        part.assign(zone_low=low, zone_high=high)[part["zone"].isin(within)]
        for _, part in chosen.groupby([*LANE[:3], *OTHER])
        for low, high, within in zones_in_a_row(part["zone"])
    ]
    with_spans = pd.concat(spans) if spans else chosen.assign(zone_low=None, zone_high=None)
    return cells.merge(with_spans, on=[*LANE, *OTHER], how="inner")


def zones_in_a_row(zones: pd.Series[str]) -> Iterator[tuple[str | None, str | None, list[str | None]]]:
    """First, last and all zones of each run of numbers without a gap; a zone that is no number is a run by itself."""
    known = sorted(set(zones.dropna()))
    numbered = sorted((each for each in known if each.isdecimal()), key=int)
    ends = [at for at, (one, after) in enumerate(pairwise(numbered), 1) if int(after) > int(one) + 1]
    runs: list[list[str | None]] = [[*numbered[one:end]] for one, end in pairwise([0, *ends, len(numbered)])]
    runs += [[each] for each in known if not each.isdecimal()]
    runs += [[None]] if zones.isna().any() else []
    yield from ((run[0], run[-1], run) for run in runs if run)


def _rule(cells: pd.DataFrame, months: int) -> dict[str, Any]:
    """cells: those of one rule, of all months; months: so many has the year that is told."""
    year, held = cells[cells["is_year"]], cells[cells["is_held"]]
    per_month = float(year["parcel_count"].sum()) / months
    named = {name: cells[name].iloc[0] for name in RULE}
    sums = {name: int(year[name].sum()) for name in (*SUMS, "saving_cents")}
    found = {**named, **sums, "parcels_per_month": per_month, **_held_out(held)}
    return {**found, "service_month_cents": round((found["saving_per_parcel_cents"] or 0) * per_month)}


def _held_out(held: pd.DataFrame) -> dict[str, Any]:
    """What the months held out say of a rule; nothing is advised that they do not hold."""
    weeks = held.groupby("shipped_week")[["saving_cents", "parcel_count"]].sum().to_numpy(dtype=float)
    parcels, within = int(held["parcel_count"].sum()), int(held["learned_within_cents"].sum())
    low, sure, high = _limits(weeks)
    least = None if sure is None else floor(sure - within / parcels)
    return {
        "held_out_parcel_count": parcels,
        "week_count": len(weeks),
        "saving_per_parcel_cents": round(float(held["saving_cents"].sum()) / parcels) if parcels else None,
        "saving_low_cents": None if low is None else round(low),
        "saving_high_cents": None if high is None else round(high),
        "sure_saving_cents": least,
        "learned_within_cents": within,
        "is_advised": least is not None and least > 0 and len(weeks) >= LEAST_WEEKS,
    }


def _limits(weeks: NDArray[np.float64]) -> tuple[float, float, float] | tuple[None, None, None]:
    """The quantiles of LIMITS of the saving for each parcel, by a bootstrap over whole weeks; none of fewer than two.

    weeks: one row of saving and parcels per week. Drawn as models/assortment/saving.py does, for all three at once.
    """
    if len(weeks) < 2:
        return None, None, None
    often = np.random.default_rng(1).multinomial(len(weeks), np.full(len(weeks), 1 / len(weeks)), DRAWS)
    saved, sent = (often @ weeks).T
    low, sure, high = np.quantile(saved / sent, LIMITS)
    return float(low), float(sure), float(high)
