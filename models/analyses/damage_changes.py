"""Did a logged change work? Damage before and after, against item types that were left alone.

Before is the year up to the change, after is all that was sent since, up to the next logged change of the same goods.
Parcels that a trial had packed otherwise than usual are left out.
Item types with a logged change of their own in that time are no control. A change is looked at as of each month end
after it, two years long, with what had been reported by then and one error over all of these looks. The looks follow
from the records and not from when or how often a build ran, so nothing needs to be kept: whoever builds the same
records finds the same verdict.

What was changed because of its record would get better by itself. Where a bad month or a claim led to the change, the
three months before it are left out; where the goods were the worst of several, what they had before is drawn towards
the others (models/damage/change.py); where no reason is stated, both. Where damage varies from month to month by
more than chance, the record counts for less (models/damage/dispersion.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd

from models.analyses.damage_records import READS as RECORDS
from models.analyses.damage_records import UNKNOWN, DamageRecords, by_month, damage_records, records_known_on
from models.analyses.question import Question, answer
from models.analyses.trial_parcels import READS as TRIALS
from models.analyses.trial_parcels import tried_otherwise
from models.columns.changes import BAD_MONTH, CLAIM, NOT_STATED, WORKED, WORSE, WORST
from models.damage.arrays import floats
from models.damage.change import ChangeVerdict, drawn_before, judge_change, look_at
from models.damage.comparison import Ratio
from models.damage.dispersion import dispersion
from models.damage.rates import fit_beta_binomial

READS = (*RECORDS, *TRIALS, "shop.decisions")
WRITES = ("analysis.change_judgements",)
DAYS_BEFORE = 365
# Claims of a bad month are of parcels sent within about three.
LEFT_OUT_DAYS = 92
MONTH_ENDS = 24
NEVER = pd.Timestamp("2099-12-31")
PLACES = 4
# Limits beyond are without end: nothing was known yet.
LEAST_RATIO = 1e-9
STATED = ("decision_id", "change_made", "reason_given", "change_reason", "changed_on", "expected_ratio")


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.change_judgements: one row per logged decision."""
    log = question.table("shop.decisions")
    log = log.assign(changed_on=pd.to_datetime(log["changed_on"]))
    known = _without_trials(by_item_type(question), log)
    rows = [_judged(part, log, known) for _, part in log.groupby("decision_id", sort=True)]
    return {WRITES[0]: answer(WRITES[0], rows)}


def by_item_type(question: Question) -> Question:
    """The same question about parcels by item type and day of shipping alone: few rows, so that many looks at them cost
    little time and memory."""
    return question.once("by item type", lambda: _by_item_type(question))


def _by_item_type(question: Question) -> Question:
    cells = question.table("marts.exposure_cells")
    summed = cells.groupby(["item_type", "shipped_on"])[["parcel_count"]].sum().reset_index()
    return replace(question, tables={**question.tables, "marts.exposure_cells": summed}, worked_out={})


def _without_trials(question: Question, log: pd.DataFrame) -> Question:
    """The same question without the parcels that a trial had packed in another way, and their claims: they tell nothing
    of how goods broke before a change, nor of goods that were left alone."""
    tried = tried_otherwise(question, log)
    if tried.empty:
        return question
    cells, losses = (question.table(name) for name in RECORDS[:2])
    by = ["item_type", "shipped_on"]
    counts = tried.groupby(by).size().reindex(pd.MultiIndex.from_frame(cells[by]), fill_value=0)
    kept = {
        RECORDS[0]: cells.assign(parcel_count=(cells["parcel_count"] - counts.to_numpy()).clip(0)),
        RECORDS[1]: losses[~losses["parcel_id"].isin(set(tried["parcel_id"]))],
    }
    return replace(question, tables={**question.tables, **kept}, worked_out={})


def month_ends(first_on: pd.Timestamp, last_on: pd.Timestamp, most: int = MONTH_ENDS) -> list[pd.Timestamp]:
    """The month ends from one day to another, so many at the most."""
    return list(pd.date_range(first_on, last_on, freq="ME"))[:most]


def _judged(decision: pd.DataFrame, log: pd.DataFrame, question: Question) -> dict[str, Any]:
    first = decision.iloc[0]
    ends = month_ends(first["changed_on"], pd.Timestamp(question.as_of))
    strata = _chosen([_strata(decision, log, known) for known in records_known_on(question, ends)], first)
    found = judge_change(
        [look_at(each) for each in strata], planned=MONTH_ENDS, expected_ratio=float(first["expected_ratio"])
    )
    row = {name: first[name] for name in STATED} | _measured(found)
    row["item_types"] = ", ".join(sorted(decision["item_type"]))[:200]
    row["changed_again_on"] = _changed_again(decision, log)
    row["judged_on"] = ends[found.at] if ends else damage_records(question).as_of
    row["look_count"], row["planned_look_count"] = found.at + 1 if ends else 0, MONTH_ENDS
    return row | {"is_final": found.verdict in (WORKED, WORSE) or len(ends) == MONTH_ENDS}


def _measured(found: ChangeVerdict) -> dict[str, Any]:
    seen = found.seen
    return {
        **limits_of("measured", found.measured),
        **limits_of("likely", found.likely),
        "claims_expected": round(seen.claims_expected, PLACES) if seen else 0.0,
        "claims_seen": round(seen.claims_seen) if seen else 0,
        "has_control": bool(seen and seen.has_control),
        "verdict": found.verdict,
    }


def limits_of(name: str, ratio: Ratio | None) -> dict[str, float | None]:
    """The columns NAME_ratio, NAME_low and NAME_high; unknown where nothing was measured or a limit has no end."""
    figures = () if ratio is None else (ratio.value, ratio.low, ratio.high)
    known = [round(each, PLACES) if LEAST_RATIO < each < 1.0 / LEAST_RATIO else None for each in figures]
    return dict(zip((f"{name}_{side}" for side in ("ratio", "low", "high")), known or [None] * 3, strict=True))


def _strata(decision: pd.DataFrame, log: pd.DataFrame, known: DamageRecords) -> pd.DataFrame:
    """What look_at compares: claims and exposure per item type, after and before, changed and control."""
    changed_on, changed = decision["changed_on"].iloc[0], set(decision["item_type"])
    begin, end = changed_on - pd.Timedelta(days=DAYS_BEFORE), _changed_again(decision, log) or NEVER
    until = changed_on - pd.Timedelta(days=_left_out(decision["change_reason"].iloc[0]))
    others = log[(log["decision_id"] != decision["decision_id"].iloc[0]) & log["changed_on"].between(begin, end)]
    left_out = (set(others["item_type"]) - changed) | {UNKNOWN}
    sides = [known.between(*days) for days in ((changed_on, end), (begin, until))]
    after, before = (side.summed(["item_type"]).set_index("item_type")[["claims", "exposure"]] for side in sides)
    strata = pd.concat([after.add_suffix("_a"), before.add_suffix("_b")], axis=1).fillna(0.0).sort_index()
    strata = strata[~strata.index.isin(left_out)]
    strata = strata.assign(is_changed=strata.index.isin(changed))
    return _with_effects(strata, sides).rename_axis("stratum").reset_index()


def _with_effects(strata: pd.DataFrame, sides: Sequence[DamageRecords]) -> pd.DataFrame:
    """The strata, by item type, with effect_a, effect_b and freedom: how much more their claims vary than chance
    allows, and from how many degrees of freedom that is known from."""
    cells = pd.concat([_by_month(side).assign(side=at) for at, side in enumerate(sides)])
    own = cells[cells["item_type"].isin(strata.index)]
    number = 2 * strata.index.get_indexer(pd.Index(own["item_type"])) + own["side"].to_numpy()
    # What a month does to all item types alike cancels against those left alone.
    times = () if strata["is_changed"].all() else (pd.factorize(own["shipped_month"])[0].astype(np.int64),)
    found = dispersion(floats(own["claims"]), floats(own["exposure"]), number.astype(np.int64), *times)
    effects = np.append(found.effects, np.ones(2 * len(strata) - found.effects.size)).reshape(-1, 2)
    return strata.assign(effect_a=effects[:, 0], effect_b=effects[:, 1], freedom=found.freedom_of_error)


def _by_month(records: DamageRecords) -> pd.DataFrame:
    """Claims and exposure by item type and month of shipping."""
    dated = replace(records, cells=by_month(records.cells), claims=by_month(records.claims))
    return dated.summed(["item_type", "shipped_month"])


def _left_out(reason: str) -> int:
    return LEFT_OUT_DAYS if reason in (BAD_MONTH, CLAIM, NOT_STATED) else 0


def _changed_again(decision: pd.DataFrame, log: pd.DataFrame) -> pd.Timestamp | None:
    """The day of the next logged change of the same goods, which ends what this one can be judged by."""
    changed_on = decision["changed_on"].iloc[0]
    later = log[log["item_type"].isin(set(decision["item_type"])) & (log["changed_on"] > changed_on)]
    return later["changed_on"].min() if len(later) else None


def _chosen(looks: list[pd.DataFrame], decision: pd.Series[Any]) -> list[pd.DataFrame]:
    """The looks, what was before drawn towards the shop's other goods where these were chosen for it. How far goods
    differ is known from the first look, when nothing had come of the change."""
    if not looks or decision["change_reason"] not in (WORST, NOT_STATED):
        return looks
    first = looks[0]
    prior = fit_beta_binomial(floats(first["claims_b"]), floats(first["exposure_b"]))
    return [_drawn(each, prior) for each in looks]


def _drawn(strata: pd.DataFrame, prior: tuple[float, float]) -> pd.DataFrame:
    chosen = np.asarray(strata["is_changed"] & (strata["exposure_b"] > 0), dtype=bool)
    claims, exposure = drawn_before(floats(strata["claims_b"]), floats(strata["exposure_b"]), chosen, prior)
    return strata.assign(claims_b=claims, exposure_b=exposure)
