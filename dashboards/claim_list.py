"""Claims in a list: what each waits for, the nearest deadline first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from dashboards import values
from dashboards.claim_sheet import STEPS, shown
from models.claims.terms import DUE, OVERDUE, Deadline
from models.shop_units import Units

Row = Mapping[str, Any]
# The shop's own steps by the claim's state: what can still be done.
OWN_STEPS = {
    "reported": ("notice", "filing"),
    "filed": ("evidence", "answer"),
    "asked": ("evidence", "answer"),
    "paid in part": ("appeal",),
    "refused": ("appeal",),
    "appealed": (),
}


def waiting_for(row: Row) -> Deadline | None:
    """The step that the claim waits for: the first last day of those that its state leaves open."""
    steps = OWN_STEPS.get(str(row["claim_state"]), ())
    found = [each for each in row["deadlines"] if each.step in steps and each.state in (DUE, OVERDUE)]
    return min(found, key=lambda each: each.due_on or dt.date.max, default=None)


def due_lines(rows: Sequence[Row], units: Units, within_days: int | None = None) -> list[str]:
    """A line for each claim, the nearest deadline first. within_days: only those due from today until then."""
    found = [(waiting_for(row), row) for row in rows]
    found.sort(key=lambda each: (each[0].due_on if each[0] and each[0].due_on else dt.date.max, each[1]["claim_id"]))
    return [_line(due, row, units) for due, row in found if _is_wanted(due, within_days)]


def _is_wanted(due: Deadline | None, within_days: int | None) -> bool:
    if within_days is None:
        return True
    return due is not None and due.state == DUE and (due.days_left or 0) <= within_days


def _line(due: Deadline | None, row: Row, units: Units) -> str:
    amount = shown(row["claimed_cents"], "claimed_cents", units)
    head = f"{values.plain(row['claim_id'])} ({row['claim_cause']}, {row['claim_state']}, claimed {amount})"
    if due is None or due.due_on is None:
        return f"{head}: no last day is known"
    past = " has passed" if due.state == OVERDUE else ""
    return f"{head}: {STEPS[due.step]} by {values.day(due.due_on)}{past}"


def every_line(row: Row, units: Units) -> str:
    """A line on a claim, whatever its state."""
    claimed, paid = (shown(row[name], name, units) for name in ("claimed_cents", "paid_cents"))
    day = values.day(row["last_step_on"])
    said = f"{values.plain(row['claim_id'])}: {row['claim_cause']}, {row['claim_state']} on {day}"
    return f"{said}; claimed {claimed}, paid {paid}"
