"""Did a logged change work? Damage before and after, against item types that were left alone.

Before is the year up to the change, after is all that was sent since, up to the next logged change of the same goods.
Item types with a logged change of their own in that time are no control. A verdict holds for one look only: looking
again and again would find an effect in the end where there is none. So the first "worked" or "worse" is kept in the
decision log and stands; "too early" and "no effect seen" may still turn.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd

from models.analyses.damage_records import READS as RECORDS
from models.analyses.damage_records import UNKNOWN, DamageRecords, damage_records
from models.analyses.question import Question
from models.columns.changes import WORKED, WORSE
from models.damage.change import ChangeVerdict, judge_change

READS = (*RECORDS, "shop.decisions")
WRITES = ("analysis.change_judgements",)
DAYS_BEFORE = 365
# As the decision log keeps them: a verdict read back from it is the same to the last bit.
PLACES = 4
FINAL = (WORKED, WORSE)
COLUMNS = (
    *("decision_id", "change_made", "reason_given", "item_types", "changed_on", "expected_ratio", "measured_ratio"),
    *("measured_low", "measured_high", "claims_expected", "claims_seen", "has_control", "verdict"),
    *("judged_on", "is_final"),
)
_KEPT = ("measured_ratio", "measured_low", "measured_high", "claims_expected", "claims_seen", "has_control", "verdict")


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.change_judgements: one row per logged decision."""
    log = question.table("shop.decisions")
    log = log.assign(changed_on=pd.to_datetime(log["changed_on"]))
    records = damage_records(question)
    rows = [_judged(part, log, records) for _, part in log.groupby("decision_id", sort=True)]
    return {WRITES[0]: pd.DataFrame(rows, columns=list(COLUMNS))}


def _judged(decision: pd.DataFrame, log: pd.DataFrame, records: DamageRecords) -> dict[str, Any]:
    first = decision.iloc[0]
    row = {name: first[name] for name in ("decision_id", "change_made", "reason_given", "changed_on", "expected_ratio")}
    row["item_types"] = ", ".join(sorted(decision["item_type"]))[:200]
    if pd.notna(first["verdict"]):
        row |= {name: first[name] for name in (*_KEPT, "judged_on")}
    else:
        row |= _verdict(judge_change(sides(decision, log, records), expected_ratio=float(first["expected_ratio"])))
        row["judged_on"] = records.as_of
    return row | {"is_final": row["verdict"] in FINAL}


def _verdict(found: ChangeVerdict) -> dict[str, Any]:
    ratio = found.measured
    limits = (None, None, None) if ratio is None else (ratio.value, ratio.low, ratio.high)
    figures = (None if figure is None else round(figure, PLACES) for figure in (*limits, found.claims_expected))
    values = (*figures, round(found.claims_seen), found.has_control, found.verdict)
    return dict(zip(_KEPT, values, strict=True))


def sides(decision: pd.DataFrame, log: pd.DataFrame, records: DamageRecords) -> pd.DataFrame:
    """What judge_change compares: claims and exposure per item type, before and after, changed and control."""
    changed_on = decision["changed_on"].iloc[0]
    changed = set(decision["item_type"])
    begin, end = changed_on - pd.Timedelta(days=DAYS_BEFORE), _end(decision, log)
    others = log[(log["decision_id"] != decision["decision_id"].iloc[0]) & log["changed_on"].between(begin, end)]
    left_out = (set(others["item_type"]) - changed) | {UNKNOWN}
    span = records.since(begin)
    cells, claims = (_sided(rows, changed_on, end) for rows in (span.cells, span.claims))
    span = replace(span, cells=cells, claims=claims)
    rows = span.summed(["item_type", "is_after"])
    rows = rows[~rows["item_type"].isin(left_out)]
    return rows.assign(is_changed=rows["item_type"].isin(changed))


def _end(decision: pd.DataFrame, log: pd.DataFrame) -> pd.Timestamp:
    """The day of the next logged change of the same goods, which ends what this one can be judged by."""
    changed_on = decision["changed_on"].iloc[0]
    later = log[log["item_type"].isin(set(decision["item_type"])) & (log["changed_on"] > changed_on)]
    return pd.Timestamp(later["changed_on"].min() if len(later) else pd.Timestamp("2099-12-31"))


def _sided(rows: pd.DataFrame, changed_on: pd.Timestamp, end: pd.Timestamp) -> pd.DataFrame:
    kept = rows[rows["shipped_on"] < end]
    return kept.assign(is_after=np.asarray(kept["shipped_on"] >= changed_on, dtype=bool))
