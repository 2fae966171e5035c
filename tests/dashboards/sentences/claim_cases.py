"""Cases of the sentences on claims that want something done."""

from __future__ import annotations

from typing import Any

import pandas as pd

from tests.dashboards.sentences.cases import LATER, MADE_AT, SOONER, Case, Tables, row, rows, states

CLAIMS, STEPS = "marts.claim_deadlines", "analysis.claim_steps"
WEEK_END, NEXT_WEEK = pd.Timestamp("2027-04-16"), pd.Timestamp("2027-04-17")
SOME, ABSENT = states(claims=3), states(sales=3, claims=0)


def _claim(
    task: str,
    due: pd.Timestamp | None = None,
    *,
    is_in_time: bool | None = True,
    days: int | None = 31,
    shipped_on: pd.Timestamp | None = SOONER,
) -> Tables:
    known: dict[str, Any] = {"claim_id": "Q1", "item_type": "kettle", "carrier": "Tern", "open_cents": 900}
    known |= {"shipped_on": shipped_on}
    cells = {"claim_task": task, "claim_due_on": due, "is_in_time": is_in_time, "days_waiting": days}
    return row(CLAIMS, **known, **cells, paid_cents=100)


def _step(due: pd.Timestamp, *, is_in_time: bool = True) -> Tables:
    known: dict[str, Any] = {"claim_id": "Q1", "item_type": "kettle", "carrier": "Tern", "open_cents": 900}
    return row(STEPS, **known, claim_step="filing", step_due_on=due, is_in_time=is_in_time)


CASES: dict[str, Case] = {
    "claims.step_overdue": Case(
        _step(SOONER),
        (_step(LATER), _step(SOONER, is_in_time=False), rows(STEPS)),
        "Q1 (kettle, Tern): overdue, the deadline for filing was 8 Apr 2027; $9.00.",
    ),
    "claims.step_this_week": Case(
        _step(WEEK_END),
        (_step(SOONER), _step(NEXT_WEEK), _step(WEEK_END, is_in_time=False)),
        "Q1 (kettle, Tern): due this week, filing by 16 Apr 2027; $9.00.",
    ),
    "claims.step": Case(
        _step(NEXT_WEEK),
        (_step(WEEK_END), _step(SOONER), _step(NEXT_WEEK, is_in_time=False)),
        "Q1 (kettle, Tern): filing by 17 Apr 2027; $9.00.",
    ),
    "claims.step_by_records": Case(
        _step(SOONER), (_step(SOONER), _step(LATER)), "filing, deadline", shows_at=None, hides_at=MADE_AT
    ),
    "claims.file_no_window": Case(
        _claim("file", is_in_time=None), (_claim("file", LATER), _claim("ask"), _claim("file", shipped_on=None))
    ),
    "claims.file_no_day": Case(
        _claim("file", shipped_on=None),
        (_claim("file"), _claim("file", LATER), _claim("ask", shipped_on=None)),
        "no record says when it was shipped, so the deadline is not known; $9.00.",
    ),
    "claims.ask": Case(
        _claim("ask", days=1),
        (_claim("file"), _claim("contest"), _claim("ask", days=None), rows(CLAIMS)),
        "the records have none for 1 day; $9.00.",
    ),
    "claims.ask_no_day": Case(
        _claim("ask", days=None),
        (_claim("ask", days=1), _claim("contest", days=None), rows(CLAIMS)),
        "Q1 (kettle): ask Tern for an answer; no record says since when it waits; $9.00.",
    ),
    "claims.contest": Case(_claim("contest"), (_claim("ask"),), "Q1 (kettle): Tern paid $1.00 of $12.50."),
    "claims.none": Case(
        {**SOME, **rows(CLAIMS)}, ({**ABSENT, **rows(CLAIMS)}, {**SOME, **_claim("ask")}, rows(CLAIMS), SOME)
    ),
}
