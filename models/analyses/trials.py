"""Trials at the bench: what each found, and which item types are worth one.

Parcels count as they were assigned, however they were packed in the end: who packs may not choose what is compared.
Both methods are compared within months, of whole weeks, as of each month end, with one error over all of them, as
changes are (models/damage/change.py). Parcels of a week share a fate, as those of a sale do: where claims vary from
week to week by more than chance, the record counts for less (models/damage/dispersion.py). A trial ends when its limits
lie on one side of no difference, on the day that the shop states, or on its last day; a month later is its last look.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from models.analyses.damage_changes import by_item_type, limits_of, month_ends
from models.analyses.damage_model import damage_model
from models.analyses.damage_records import READS as RECORDS
from models.analyses.damage_records import DamageRecords, damage_records, records_known_on, settings_of
from models.analyses.question import Question, answer
from models.analyses.trial_parcels import READS as TRIALS
from models.analyses.trial_parcels import assigned, logged, sent
from models.columns.changes import NO_EFFECT, WORKED, WORSE
from models.columns.changes import NOT_SETTLED as CHANGE_NOT_SETTLED
from models.columns.changes import TOO_EARLY as CHANGE_TOO_EARLY
from models.columns.trials import (
    BREAKS_LESS,
    BREAKS_MORE,
    BY_SALE,
    BY_WEEK,
    ENDED,
    NO_DIFFERENCE,
    NOT_PROVEN,
    NOT_SETTLED,
    RUNNING,
    SELDOM_USED,
    TOO_EARLY,
)
from models.damage.arrays import FloatArray, IntArray, at_least_the_claims, floats, sums
from models.damage.change import Look, judge_change, look_of, weigh
from models.damage.dispersion import dispersion
from models.damage.trials import Arms, arms, days_needed, parcels_needed
from models.settings.damage import EXPECTED_RATIO, Damage
from models.tables import TABLES

READS = (*(*RECORDS, *TRIALS, "packing_costs", "analysis.packing_decision", "analysis.damage_rates"),)
WRITES = ("analysis.trials", "analysis.trial_proposals")
VERDICTS = {
    WORKED: BREAKS_LESS,
    WORSE: BREAKS_MORE,
    NO_EFFECT: NO_DIFFERENCE,
    CHANGE_TOO_EARLY: TOO_EARLY,
    CHANGE_NOT_SETTLED: NOT_SETTLED,
}
STATED = tuple(TABLES["shop.trials"].columns)
# Of the ratio of two rates: were they the same, so low a limit would lie above one once in forty cases.
LOWER_LIMIT = 0.025
# Degrees of freedom below which nobody knows how much weeks vary (common practice, no source).
LEAST_FREEDOM = 10.0
NO_CONTROL = (np.zeros(0),) * 4
# Both methods go out in each week where sales decide; where weeks take turns, no week has both, and each month has.
SHARED = {BY_SALE: "week", BY_WEEK: "month"}


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.trials: one row per logged trial. analysis.trial_proposals: one per method that one could tell of."""
    log, parcels, known = logged(question), sent(question), by_item_type(question)
    rows = [_found(trial, parcels, known) for trial in log.to_dict("records")]
    trials = answer(WRITES[0], rows)
    running = set(trials.loc[trials["trial_state"] == RUNNING, "item_type"])
    offered = [each for each in _offers(question) if each["item_type"] not in running]
    return {WRITES[0]: trials, WRITES[1]: answer(WRITES[1], offered)}


def _found(trial: dict[Any, Any], parcels: pd.DataFrame, question: Question) -> dict[str, Any]:
    as_of, last_on = pd.Timestamp(question.as_of), trial["planned_end_on"] + pd.DateOffset(months=1)
    planned = max(len(month_ends(trial["started_on"], last_on)), 1)
    ends = month_ends(trial["started_on"], min(as_of, last_on))
    methods = arms(trial)
    own = assigned(parcels[parcels["trial_id"] == trial["trial_id"]], methods, str(trial["assigned_by"]))
    weeks = (weeks_of(own, methods, known) for known in records_known_on(question, ends))
    looks = [look_by_week(each, str(trial["assigned_by"])) for each in weeks]
    found = judge_change(looks, planned=planned, expected_ratio=float(trial["expected_ratio"]))
    is_ended = found.verdict in (WORKED, WORSE) or pd.notna(trial["ended_on"]) or as_of > trial["planned_end_on"]
    return {
        **{name: trial[name] for name in STATED},
        **_counts(own, methods, damage_records(question)),
        **limits_of("measured", found.measured),
        **limits_of("likely", found.likely),
        "trial_state": ENDED if is_ended else RUNNING,
        "trial_verdict": VERDICTS[found.verdict],
        "judged_on": ends[found.at] if ends else as_of,
        "look_count": found.at + 1 if ends else 0,
        "planned_look_count": planned,
    }


def look_by_week(weeks: pd.DataFrame, assigned_by: str) -> Look | None:
    """One look at a trial; None where no month has both methods, or too few weeks tell how weeks vary. weeks: claims
    and exposure by month, week and is_tried, whether it is the method tried."""
    side, month, shared = (_numbered(weeks[name]) for name in ("is_tried", "month", SHARED[assigned_by]))
    by_arm = [floats(weeks[name]) for name in ("claims", "exposure")]
    claims, exposure = (sums(2 * month + side, each, 2 * len(weeks)).reshape(-1, 2) for each in by_arm)
    both = (exposure > 0).all(axis=1)
    found = dispersion(by_arm[0], by_arm[1], side, shared)
    if not both.any() or (assigned_by == BY_WEEK and found.freedom < LEAST_FREEDOM):
        return None
    (b, a), (m, n) = claims[both].T, exposure[both].T
    counted = a, at_least_the_claims(a, n), b, at_least_the_claims(b, m)
    a, n, b, m = (each / found.effects[at] for each, at in zip(counted, (1, 1, 0, 0), strict=True))
    return weigh(look_of(counted, NO_CONTROL), look_of((a, n, b, m), NO_CONTROL), found.freedom_of_error)


def _numbered(values: pd.Series[Any]) -> IntArray:
    """Each value's number, from 0, smaller values first."""
    return pd.factorize(values, sort=True)[0].astype(np.int64)


def weeks_of(own: pd.DataFrame, methods: Arms, known: DamageRecords) -> pd.DataFrame:
    """Claims and exposure of either method by week of shipping, and the month in which the week begins."""
    sent = own[own["shipped_on"] <= known.as_of].dropna(subset=["arm"])
    ages = (known.as_of - sent["shipped_on"]).dt.days.to_numpy(np.int64)
    week = sent["shipped_on"].dt.to_period("W").dt.start_time
    counted = sent.assign(
        week=week,
        month=week.dt.to_period("M"),
        is_tried=sent["arm"] == methods.other_method,
        exposure=known.curve.share_reported(ages),
        claims=sent["parcel_id"].isin(set(known.claims["parcel_id"])).astype(float),
    )
    return counted.groupby(["month", "week", "is_tried"])[["claims", "exposure"]].sum().reset_index()


def _counts(own: pd.DataFrame, methods: Arms, known: DamageRecords) -> dict[str, Any]:
    claimed = own["parcel_id"].isin(set(known.claims["parcel_id"]))
    packed = own.dropna(subset=["arm", "packing_method"])
    counts = {
        f"{name}_{what}_count": int((kept & (own["arm"] == method)).sum())
        for name, method in (("usual", methods.usual_method), ("tried", methods.other_method))
        for what, kept in (("parcel", pd.Series(True, index=own.index)), ("claim", claimed))
    }
    followed = float((packed["arm"] == packed["packing_method"]).mean()) if len(packed) else None
    return counts | {"unassigned_count": int(own["arm"].isna().sum()), "followed_share": followed}


def _offers(question: Question) -> list[dict[str, Any]]:
    """Methods that a trial could tell of: the one that looks cheapest and is not proven, and those seldom used that
    would pay if they brought damage down as far as a change is hoped to, but for those that other goods prove to break
    more."""
    decisions, settings = question.table("analysis.packing_decision"), settings_of(question)
    costs = _packing_cents(question.table("packing_costs"))
    used = question.table("analysis.damage_rates").set_index(["item_type", "packing_method"])["parcel_count"]
    current = decisions[decisions["is_current"].astype(bool)]
    if current.empty:
        return []
    rates = damage_model(question, damage_records(question).recent()).of_methods()
    return [
        offer
        for row in current.to_dict("records")
        for method in costs
        if method != row["packing_method"]
        and (offer := _offer(row, method, costs, int(used.get((row["item_type"], method), 0)), settings))
        and not (offer["trial_reason"] == SELDOM_USED and _breaks_more(rates, method, row["packing_method"]))
    ]


def _breaks_more(rates: dict[str, FloatArray], method: str, usual: str) -> bool:
    """Whether the 95 percent interval of the ratio of both rates lies above one, on the same goods."""
    both = method in rates and usual in rates
    return both and bool(np.quantile(rates[method] / rates[usual], LOWER_LIMIT) > 1.0)


def _offer(
    row: dict[Any, Any], method: str, costs: dict[str, float], used: int, settings: Damage
) -> dict[str, Any] | None:
    is_unproven = row["packing_verdict"] == "wait" and method == row["best_method"]
    more = costs[method] - costs[row["packing_method"]]
    spared = (1.0 - EXPECTED_RATIO) * float(row["expected_damage_cents"])
    if not is_unproven and (used >= settings.min_parcels or more >= spared):
        return None
    needed = parcels_needed(float(row["same_parcels_rate"]), EXPECTED_RATIO)
    days = days_needed(needed, int(row["yearly_parcel_count"])) if needed else None
    if needed is None or days is None:
        return None
    return {
        "item_type": row["item_type"],
        "usual_method": row["packing_method"],
        "other_method": method,
        "trial_reason": NOT_PROVEN if is_unproven else SELDOM_USED,
        "expected_ratio": EXPECTED_RATIO,
        "needed_parcel_count": needed,
        "needed_days": days,
        "yearly_parcel_count": int(row["yearly_parcel_count"]),
        "more_packing_cents": round(more),
    }


def _packing_cents(costs: pd.DataFrame) -> dict[str, float]:
    """Material and labour of a parcel, by packing method."""
    labour = floats(costs["pack_minutes"]) / 60.0 * floats(costs["wage_cents_per_hour"])
    return dict(zip(costs["packing_method"].astype(str), floats(costs["material_cents"]) + labour, strict=True))
