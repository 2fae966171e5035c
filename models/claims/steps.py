"""The step that a claim waits for: the one rule of the due lists of page, letter, terminal and `dunnage claims`."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from typing import Any

from models.claims.deadlines import DUE, OVERDUE, ClaimTerm, Deadline, deadlines

Row = Mapping[str, Any]
DAYS = ("shipped_on", "opened_on", "filed_on", "decided_on", "appealed_on", "delivered_on")
# What can still be done, by the claim's state.
OWN_STEPS = {
    "reported": ("notice", "filing"),
    "filed": ("evidence", "answer"),
    "asked": ("evidence", "answer"),
    "paid in part": ("appeal",),
    "refused": ("appeal",),
    "appealed": (),
}


def waiting_for(state: str, found: Sequence[Deadline]) -> Deadline | None:
    """The first deadline of the steps that the state leaves open; None where no day of one is known."""
    steps = OWN_STEPS.get(state, ())
    known = [each for each in found if each.step in steps and each.state in (DUE, OVERDUE)]
    return min(known, key=lambda each: each.due_on or dt.date.max, default=None)


def open_steps(rows: Iterable[Row], today: dt.date) -> list[tuple[Row, Deadline | None]]:
    """Each claim with the step that it waits for. rows: of models/sql/queries/open_claims.sql, in its order."""
    found = []
    for _, group in groupby(rows, key=lambda row: row["claim_id"]):
        own = list(group)
        terms = [
            ClaimTerm(row["claim_step"], int(row["term_length"]), row["term_unit"], row["term_start"])
            for row in own
            if row["claim_step"]
        ]
        days = {name: own[0][name] for name in DAYS}
        found.append((own[0], waiting_for(str(own[0]["claim_state"]), deadlines(terms, days, today))))
    return found
