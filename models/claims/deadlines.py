"""A carrier's days for a claim: notice, filing, evidence, its answer, appeal; and the deadline of each.

A term counts from a day of the parcel or the claim. The day it counts from is day 0, as in "no later than 60 days from
mailing": mailed 1 March, 60 days end on 30 April.
"""

import calendar
import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

STEPS = ("notice", "filing", "evidence", "answer", "appeal")
TERM_UNITS = ("days", "working_days", "months")
STARTS = ("shipped_on", "delivered_on", "opened_on", "filed_on", "decided_on")
MOST_NUMBER = 3_650
DONE, OVERDUE, DUE, WAITING, UNKNOWN, UNSTATED = "done", "overdue", "due", "not yet", "not known", "not stated"
# What a step is done by: the claim itself tells the carrier, evidence is in when the carrier decides.
DONE_BY = {"notice": "filed_on", "filing": "filed_on", "evidence": "decided_on", "answer": "decided_on"}
APPEALED_ON = "appealed_on"
_WEEK = 5

Days = Mapping[str, dt.date | None]


@dataclass(frozen=True)
class ClaimTerm:
    """One term. step: of STEPS. number: of `unit` (TERM_UNITS) after `start` (STARTS). line: in the tariff's file."""

    step: str
    number: int
    unit: str
    start: str
    line: int = 0

    def last_on(self, start: dt.date) -> dt.date:
        """The last day, counted from the day it starts.

        Working days are Monday to Friday: holidays are not known, and would only make the term longer. A month ends on
        the day of the same number, or on its last day.
        """
        if self.unit == "months":
            return _months_after(start, self.number)
        return _working_days_after(start, self.number) if self.unit == "working_days" else _after(start, self.number)


@dataclass(frozen=True)
class Deadline:
    """One step of a claim on a day. state: done, overdue, due, not yet, not known (no record of its start), not stated.

    due_on: its deadline, None where that is not known. missing: the day that would tell it.
    """

    step: str
    state: str
    due_on: dt.date | None
    days_left: int | None
    term: ClaimTerm | None
    missing: str = ""


def _after(start: dt.date, days: int) -> dt.date:
    return start + dt.timedelta(days=days)


def _working_days_after(start: dt.date, number: int) -> dt.date:
    weeks, rest = divmod(number, _WEEK)
    day = _after(start, 7 * weeks)
    while day.weekday() >= _WEEK and number:
        day = _after(day, -1)
    for _ in range(rest):
        day = _after(day, 1)
        while day.weekday() >= _WEEK:
            day = _after(day, 1)
    return day


def _months_after(start: dt.date, number: int) -> dt.date:
    year, month = divmod(start.year * 12 + start.month - 1 + number, 12)
    return dt.date(year, month + 1, min(start.day, calendar.monthrange(year, month + 1)[1]))


def deadlines(terms: Iterable[ClaimTerm], days: Days, today: dt.date) -> list[Deadline]:
    """Each step in the order of a claim. days: those of parcel and claim that are on record, by name."""
    stated = {term.step: term for term in terms}
    return [_deadline(step, stated.get(step), days, today) for step in STEPS]


def _deadline(step: str, term: ClaimTerm | None, days: Days, today: dt.date) -> Deadline:
    if days.get(DONE_BY.get(step, APPEALED_ON)):
        return Deadline(step, DONE, None, None, term)
    if term is None:
        return Deadline(step, UNSTATED, None, None, None)
    start = days.get(term.start)
    if start is None:
        is_to_come = term.start in ("filed_on", "decided_on")
        return Deadline(step, WAITING if is_to_come else UNKNOWN, None, None, term, term.start)
    due_on = term.last_on(start)
    return Deadline(step, OVERDUE if due_on < today else DUE, due_on, (due_on - today).days, term)


def next_due(found: Sequence[Deadline]) -> Deadline | None:
    """The step of the shop whose deadline comes first of those that are due; the answer is the carrier's to give."""
    due = [each for each in found if each.state == DUE and each.step != "answer"]
    return min(due, key=lambda each: (each.due_on or dt.date.max, STEPS.index(each.step)), default=None)
