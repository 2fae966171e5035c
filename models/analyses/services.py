"""Who should have carried it: for which goods and zones another service costs less, by the tariffs.

For each item type, service used and zone the other service that saves most in the older months is chosen; zones in a
row with the same choice are one rule. What it saves is measured on the newest months, which had no say in the choice.
Both sides are what tariffs expect of the same parcels, whether the carrier billed so or not; where the other service is
proved to damage more of these goods, that is taken off.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from itertools import pairwise
from math import floor

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.analyses.question import Question, answer
from models.analyses.service_damage import READS as DAMAGE
from models.analyses.service_damage import more_damage
from models.assortment import LEAST_WEEKS, drawn_savings
from models.settings.cartons import Cartons

CELLS = "service_cells"
READS = (CELLS, "service_coverage", "service_totals", *DAMAGE)
WRITES = ("analysis.service_rules", "analysis.service_coverage", "analysis.service_totals")
LANE = ["item_type", "carrier", "service", "zone"]
OTHER = ["other_carrier", "other_service"]
RULE = [*LANE[:3], "zone_low", "zone_high", *OTHER]
SUMS = ["parcel_count", "expected_cents", "other_cents", "billed_parcel_count", "billed_cents"]
# What the months held out say of a rule: nothing where it has no parcel in them, and not known.
COUNTED = ["held_out_parcel_count", "held_out_saving_cents", "week_count", "learned_within_cents"]
MEASURED = ["saving_per_parcel_cents", "saving_low_cents", "saving_high_cents", "sure_saving_cents"]
MONTHS = 12
# Of the saving for each parcel: lower limit of 95 percent, of 80 percent, upper limit of 95 percent.
LIMITS = (0.025, 0.1, 0.975)


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """The tables of WRITES."""
    hold_out = Cartons(**question.options.get("cartons", {})).hold_out_months
    return {
        "analysis.service_rules": rules(question.table(CELLS), hold_out, partial(more_damage, question)),
        "analysis.service_coverage": question.table("service_coverage"),
        "analysis.service_totals": question.table("service_totals"),
    }


def rules(cells: pd.DataFrame, hold_out: int, damaged: Callable[[pd.DataFrame], list[int]]) -> pd.DataFrame:
    """analysis.service_rules. cells: rows of the query service_cells. hold_out: so many last months are held out.
    damaged: cents a parcel that the other service of each rule costs in more damage."""
    if cells.empty:
        return answer(WRITES[0])
    ago = months_ago(cells)
    months = min(MONTHS, int(ago.max()) + 1)
    known = cells.assign(
        saving_cents=cells["expected_cents"] - cells["other_cents"], is_held=ago < hold_out, is_year=ago < months
    )
    named = with_rules(known)
    if named.empty:
        return answer(WRITES[0])
    named["rule"] = named.groupby(RULE, dropna=False, sort=True).ngroup()
    year = named[named["is_year"]].groupby("rule")[[*SUMS, "saving_cents"]].sum()
    found = named.drop_duplicates("rule").set_index("rule")[RULE].sort_index()
    found = found.join(year).join(_held_out(named[named["is_held"]])).fillna(dict.fromkeys([*COUNTED, *year], 0))
    found["more_damage_cents"] = damaged(found)
    found[MEASURED] = found[MEASURED].sub(found["more_damage_cents"], axis=0)
    per_month = found["parcel_count"].astype(float) / months
    found = found.assign(
        parcels_per_month=per_month,
        service_month_cents=(_mean_saving(found) * per_month).round(),
        is_advised=(found["sure_saving_cents"] > 0).fillna(False) & (found["week_count"] >= LEAST_WEEKS),
    )
    ranked = found.sort_values("service_month_cents", ascending=False, kind="stable", ignore_index=True)
    return answer(WRITES[0], ranked)


def _mean_saving(found: pd.DataFrame) -> pd.Series[float]:
    """Cents a parcel in the months held out, unrounded, so that many parcels add up; nothing where there is none."""
    parcels = found["held_out_parcel_count"].astype(float)
    mean = found["held_out_saving_cents"].astype(float) / parcels - found["more_damage_cents"].astype(float)
    return mean.where(parcels > 0, 0.0)


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


def _held_out(cells: pd.DataFrame) -> pd.DataFrame:
    """What the months held out say of each rule that has parcels in them, by its number."""
    weeks = cells.groupby(["rule", "shipped_week"])[["saving_cents", "parcel_count", "learned_within_cents"]].sum()
    rows = {rule: _of_weeks(each.to_numpy(dtype=float)) for rule, each in weeks.groupby("rule")}
    return pd.DataFrame.from_dict(rows, orient="index", columns=[*COUNTED, *MEASURED]).astype("Int64")


def _of_weeks(weeks: NDArray[np.float64]) -> tuple[int | None, ...]:
    """COUNTED and MEASURED, of rows of saving, parcels and what learned prices may be off, one per week.

    Limits by a bootstrap over whole weeks; none of fewer than two weeks.
    """
    saved, parcels, within = weeks.sum(axis=0)
    counted = int(parcels), int(saved), len(weeks), int(within), round(saved / parcels)
    if len(weeks) < 2:
        return (*counted, None, None, None)
    low, sure, high = np.quantile(drawn_savings(weeks[:, 0], weeks[:, 1]), LIMITS)
    return (*counted, round(low), round(high), floor(sure - within / parcels))
