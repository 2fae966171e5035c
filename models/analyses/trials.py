"""Trials at the bench: what each found, and which item types are worth one.

Parcels count as they were assigned, however they were packed in the end: who packs may not choose what is compared.
Both methods are compared within months of shipping, as of each month end, with one error over all of them, as changes
are (models/damage/change.py). A trial ends when its limits lie on one side of no difference, on the day that the shop
states, or on its last day; a month later is its last look.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from models.analyses.damage_changes import by_item_type, limits_of, month_ends
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
    ENDED,
    NO_DIFFERENCE,
    NOT_PROVEN,
    NOT_SETTLED,
    RUNNING,
    SELDOM_USED,
    TOO_EARLY,
)
from models.damage.arrays import floats
from models.damage.assignment import Arms, arms
from models.damage.change import Look, judge_change, look_of
from models.damage.trials import days_needed, parcels_needed
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
NO_CONTROL = (np.zeros(0),) * 4


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
    looks = [_look(own, methods, known) for known in records_known_on(question, ends)]
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


def _look(own: pd.DataFrame, methods: Arms, known: DamageRecords) -> Look | None:
    """Claims and exposure of the method tried and of the usual one, by month of shipping, as known at that day."""
    sent = own[own["shipped_on"] <= known.as_of].dropna(subset=["arm"])
    ages = (known.as_of - sent["shipped_on"]).dt.days.to_numpy(np.int64)
    counted = sent.assign(
        shipped_month=sent["shipped_on"].dt.to_period("M"),
        exposure=known.curve.share_reported(ages),
        claims=sent["parcel_id"].isin(set(known.claims["parcel_id"])).astype(float),
    )
    sums = counted.groupby(["shipped_month", "arm"])[["claims", "exposure"]].sum().unstack("arm", fill_value=0.0)
    sides = [
        floats(sums[(name, method)]) if (name, method) in sums else np.zeros(len(sums))
        for method in (methods.other_method, methods.usual_method)
        for name in ("claims", "exposure")
    ]
    a, n, b, m = sides
    both = (n > 0) & (m > 0)
    return look_of((a[both], np.maximum(n, a)[both], b[both], np.maximum(m, b)[both]), NO_CONTROL)


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
    would pay if they brought damage down as far as a change is hoped to."""
    decisions, settings = question.table("analysis.packing_decision"), settings_of(question)
    costs = _packing_cents(question.table("packing_costs"))
    used = question.table("analysis.damage_rates").set_index(["item_type", "packing_method"])["parcel_count"]
    current = decisions[decisions["is_current"].astype(bool)]
    return [
        offer
        for row in current.to_dict("records")
        for method in costs
        if method != row["packing_method"]
        and (offer := _offer(row, method, costs, int(used.get((row["item_type"], method), 0)), settings))
    ]


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
