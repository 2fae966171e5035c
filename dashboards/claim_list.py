"""Claims in a list: what each waits for, the nearest deadline first."""

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from dashboards import formats, values
from dashboards.claim_sheet import shown
from dashboards.sentences.claim_sheet import STEPS
from models.claims.deadlines import OVERDUE, Deadline
from models.shop_units import Units

Row = Mapping[str, Any]
# What a claim of each state waits for where no term of the carrier gives a day.
UNDATED = {
    "reported": "file it with the carrier",
    "filed": "no answer of the carrier is on record",
    "asked": "no answer of the carrier is on record",
    "appealed": "no answer to the appeal is on record",
    "paid in part": "appeal, or leave it and mark it closed",
    "refused": "appeal, or leave it and mark it closed",
}
# Enough of the deadlines that passed: what a carrier may still be asked for is among the latest.
PASSED_SHOWN = 10
# The day that a state is of. Of the other states only a mark has one, later than all days of the record.
STATED_ON = {
    "reported": ("opened_on", "on"),
    "filed": ("filed_on", "on"),
    "appealed": ("appealed_on", "on"),
    "refused": ("decided_on", "on"),
    **dict.fromkeys(("paid", "paid in part"), ("decided_on", "as decided on")),
}


def due_lines(found: Sequence[tuple[Row, Deadline | None]], units: Units) -> list[str]:
    """A line for each open claim with its next step: the nearest deadline first, then those that passed lately.

    Deadlines that passed before the latest PASSED_SHOWN are counted in one line.
    """
    to_come = sorted((each for each in found if not _is_passed(each)), key=_place)
    passed = sorted((each for each in found if _is_passed(each)), key=_place, reverse=True)
    listed = [_line(due, row, units) for row, due in (*to_come, *passed[:PASSED_SHOWN])]
    if left := len(passed[PASSED_SHOWN:]):
        listed.append(f"and {left:,} more, overdue for longer: `dunnage claims list --all` has every claim")
    return listed


def _is_passed(each: tuple[Row, Deadline | None]) -> bool:
    _, due = each
    return due is not None and due.state == OVERDUE


def _place(each: tuple[Row, Deadline | None]) -> tuple[dt.date, str]:
    row, due = each
    return due.due_on if due and due.due_on else dt.date.max, str(row["claim_id"])


def _line(due: Deadline | None, row: Row, units: Units) -> str:
    amount = shown(row["claimed_cents"], "claimed_cents", units)
    head = f"{values.plain(row['claim_id'])} ({row['claim_cause']}, {row['claim_state']}, claimed {amount})"
    if due is None or due.due_on is None:
        return f"{head}: {UNDATED.get(str(row['claim_state']), 'open')}; no deadline is known"
    past = ": overdue" if due.state == OVERDUE else ""
    return f"{head}: {STEPS[due.step]} by {values.day(due.due_on)}{past}"


def every_line(row: Row, units: Units) -> str:
    """A line on a claim, whatever its state."""
    claimed, paid = (shown(row[name], name, units) for name in ("claimed_cents", "paid_cents"))
    said = f"{values.plain(row['claim_id'])}: {row['claim_cause']}, {row['claim_state']}{_since(row)}"
    return f"{said}; claimed {claimed}, paid {paid}"


def _since(row: Row) -> str:
    """When it came to its state, where a record or a mark says so; else when it was opened."""
    column, words = STATED_ON.get(str(row["claim_state"]), ("last_step_on", "on"))
    known = [day for name in ("opened_on", "filed_on", "decided_on") if not formats.is_unknown(day := row[name])]
    day = row[column]
    if formats.is_unknown(day) or (column == "last_step_on" and day <= max(known)):
        return f", opened on {values.day(row['opened_on'])}"
    return f" {words} {values.day(day)}"
