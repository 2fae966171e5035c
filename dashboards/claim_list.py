"""Claims in a list: what each waits for, the nearest deadline first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from dashboards import values
from dashboards.claim_sheet import shown
from dashboards.sentences.sheet import STEPS
from models.claims.terms import OVERDUE, Deadline
from models.shop_units import Units

Row = Mapping[str, Any]


def due_lines(found: Sequence[tuple[Row, Deadline | None]], units: Units) -> list[str]:
    """A line for each open claim with the step that it waits for, the nearest deadline first."""
    far = dt.date.max
    ordered = sorted(found, key=lambda each: (each[1].due_on or far if each[1] else far, each[0]["claim_id"]))
    return [_line(due, row, units) for row, due in ordered]


def _line(due: Deadline | None, row: Row, units: Units) -> str:
    amount = shown(row["claimed_cents"], "claimed_cents", units)
    head = f"{values.plain(row['claim_id'])} ({row['claim_cause']}, {row['claim_state']}, claimed {amount})"
    if due is None or due.due_on is None:
        return f"{head}: no deadline is known"
    past = " has passed" if due.state == OVERDUE else ""
    return f"{head}: {STEPS[due.step]} by {values.day(due.due_on)}{past}"


def every_line(row: Row, units: Units) -> str:
    """A line on a claim, whatever its state."""
    claimed, paid = (shown(row[name], name, units) for name in ("claimed_cents", "paid_cents"))
    day = values.day(row["last_step_on"])
    said = f"{values.plain(row['claim_id'])}: {row['claim_cause']}, {row['claim_state']} on {day}"
    return f"{said}; claimed {claimed}, paid {paid}"
