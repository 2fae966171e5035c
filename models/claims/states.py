"""The states of a claim, and which may follow which.

`reported` is an open claim that has not gone to the carrier. A claim that was `asked` waits for an answer that the
carrier was reminded of.
"""

import datetime as dt
from dataclasses import dataclass, fields, replace
from typing import Any

from models.errors import SettingsError

CLAIM_CAUSES = ("damage", "loss", "not as described", "delay", "other")
REPORTED = "reported"
MOVES: dict[str, tuple[str, ...]] = {
    REPORTED: ("filed", "closed"),
    "filed": ("asked", "paid in part", "paid", "refused", "closed"),
    "asked": ("asked", "paid in part", "paid", "refused", "closed"),
    "paid in part": ("appealed", "paid", "closed"),
    "refused": ("appealed", "closed"),
    "appealed": ("asked", "paid in part", "paid", "refused", "closed"),
    "paid": ("closed",),
    "withdrawn": (REPORTED, "closed"),
    "closed": (REPORTED,),
}
STATES = tuple(MOVES)
# Said on the command line for a claim that is opened again.
OPEN = "open"
DECIDED = ("paid in part", "paid", "refused")
PAID = ("paid in part", "paid")


@dataclass(frozen=True)
class Standing:
    """How a claim stands: its state, the day of its last step, and what is known of days and amounts (cents)."""

    claim_id: str
    claim_state: str
    last_step_on: dt.date
    opened_on: dt.date
    filed_on: dt.date | None = None
    decided_on: dt.date | None = None
    appealed_on: dt.date | None = None
    delivered_on: dt.date | None = None
    claimed_cents: int | None = None
    paid_cents: int | None = None
    refund_cents: int | None = None
    replacement_cents: int | None = None
    return_cost_cents: int | None = None
    salvage_cents: int | None = None


AMOUNTS = tuple(each.name for each in fields(Standing) if each.name.endswith("_cents"))


def moved(now: Standing, state: str, on: dt.date, today: dt.date, amounts: dict[str, int | None]) -> Standing:
    """The claim after the move. Raises SettingsError for a move, day or amount that cannot be.

    A state said again with other amounts corrects them. amounts: those stated, by name of AMOUNTS.
    """
    wanted = REPORTED if state == OPEN else state
    stated = {name: cents for name, cents in amounts.items() if cents is not None}
    if wanted != now.claim_state and wanted not in MOVES[now.claim_state]:
        allowed = ", ".join(MOVES[now.claim_state])
        raise _refused(now, f"is {now.claim_state} and cannot become {wanted}", f"it can become {allowed}")
    if not now.last_step_on <= on <= today:
        raise _refused(now, f"cannot change on {on}", f"give --on from {now.last_step_on} to {today}")
    known: dict[str, Any] = {**_days(wanted, on, now), **stated}
    after = replace(now, claim_state=wanted, last_step_on=on, **known)
    _hold_amounts(after, wanted)
    return after


def _days(state: str, on: dt.date, now: Standing) -> dict[str, dt.date | None]:
    if state == now.claim_state:
        return {}
    if state == "filed":
        return {"filed_on": on}
    if state == "appealed":
        return {"appealed_on": on}
    return {"decided_on": on} if state in DECIDED else {}


def _hold_amounts(after: Standing, state: str) -> None:
    if state in PAID and not after.paid_cents:
        raise _refused(after, f"cannot be {state} without an amount", "give --paid")
    if after.paid_cents is not None and after.claimed_cents is not None and after.paid_cents > after.claimed_cents:
        raise _refused(after, "would have been paid more than was claimed", "correct --paid or --claimed")
    if state == "paid in part" and after.paid_cents == after.claimed_cents:
        raise _refused(after, "was paid in full", "mark it paid")


def _refused(now: Standing, what: str, next_step: str) -> SettingsError:
    return SettingsError(f"claim {now.claim_id}", what, "this claim; nothing was noted", next_step)
