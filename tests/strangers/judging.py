"""What landed against what the oracle allows: each disagreement is a finding."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from enum import StrEnum

from tests.strangers.landing import Landed, texts
from tests.strangers.trials import Row, Trial, is_allowed


class Fault(StrEnum):
    """What a finding accuses."""

    WRONG = "a value was stored that the file does not prove"
    LOST = "a row is neither accepted nor rejected"
    TEXTLESS = "a row of mapped columns only was rejected without its text"
    COUNTS = "the counts do not add up"
    CRASH = "a traceback"
    HELD_UP = "a file has no delivery"
    MISSED = "a proven row was rejected"
    UNEQUAL = "formats answer differently"


@dataclass(frozen=True)
class Finding:
    """One disagreement."""

    fault: Fault
    trial: Trial
    row: Row | None
    reported: str


@dataclass
class Verdict:
    """All findings of a campaign, and what was looked at."""

    findings: list[Finding] = field(default_factory=list)
    files: int = 0
    rows: int = 0
    valid_rows: int = 0
    # Answers by group, place within it and form, to compare the forms.
    answers: dict[tuple[str, int], dict[str, tuple[str, Trial, Row]]] = field(default_factory=dict)

    def of(self, *faults: Fault) -> list[Finding]:
        return [finding for finding in self.findings if finding.fault in faults]

    def missed_share(self) -> float:
        return len(self.of(Fault.MISSED)) / max(1, self.valid_rows)


def judge(landed: Iterable[Landed]) -> Verdict:
    """Every file against its oracle."""
    verdict = Verdict()
    for one in landed:
        verdict.files += 1
        verdict.rows += len(one.trial.rows)
        if not (one.error and one.trial.may_be_refused):
            verdict.valid_rows += sum(row.is_valid for row in one.trial.rows)
        verdict.findings += _findings(one, verdict)
    verdict.findings += _unequal(verdict)
    return verdict


def _findings(one: Landed, verdict: Verdict) -> Iterator[Finding]:
    trial = one.trial
    if one.crash:
        yield Finding(Fault.CRASH, trial, None, one.crash)
    elif not one.deliveries and not one.refusal:
        yield Finding(Fault.HELD_UP, trial, None, "no delivery")
    elif one.error:
        if not trial.may_be_refused:
            yield from (Finding(Fault.MISSED, trial, row, one.error) for row in trial.rows if row.is_valid)
    else:
        yield from _counted(one)
        yield from _rows(one, verdict)


def _counted(one: Landed) -> Iterator[Finding]:
    rows, counted, aside = one.trial.rows, one.counted("row_count"), one.counted("rejected_count")
    accepted = one.counted("accepted_count")
    kept = accepted + one.counted("unchanged_count")
    least = sum(not row.may_vanish for row in rows)
    if counted != kept + aside:
        yield Finding(Fault.COUNTS, one.trial, None, f"{counted} rows are not {kept} + {aside}")
    if not least <= counted <= len(rows) + one.trial.extra:
        yield Finding(Fault.COUNTS, one.trial, None, f"{counted} rows counted, {least} are there")
    if (len(one.accepted), len(one.rejected)) != (accepted, aside):
        reported = f"{len(one.accepted)} accepted and {len(one.rejected)} rejected rows lie in the warehouse"
        yield Finding(Fault.COUNTS, one.trial, None, reported)


def _rows(one: Landed, verdict: Verdict) -> Iterator[Finding]:
    trial, expected = one.trial, {row.mark: row for row in one.trial.rows}
    # A stray quote before a key is read as it stands by some; which record it is, is plain.
    accepted = [(mark.strip('"'), record) for mark, record in one.accepted]
    for mark, times in Counter(mark for mark, _ in accepted).items():
        if mark not in expected or times > 1:
            yield Finding(Fault.WRONG, trial, expected.get(mark), f"stored {mark!r} {times} times: no such row")
    stored = dict(accepted)
    for place, (mark, row) in enumerate(expected.items()):
        if trial.is_compared:
            answer = repr(stored[mark]) if mark in stored else "rejected"
            verdict.answers.setdefault((trial.group, place), {})[trial.form] = (answer, trial, row)
        if mark not in stored:
            yield from _not_stored(one, row)
        elif not is_allowed(stored[mark], row):
            yield Finding(Fault.WRONG, trial, row, f"stored {stored[mark]!r}")


def _not_stored(one: Landed, row: Row) -> Iterator[Finding]:
    reported = [reason for text, reason, _ in one.rejected if row.mark in texts(text)]
    at_line = [] if reported else _at_its_line(one, row)
    if at_line and one.trial.is_all_mapped and not row.may_vanish:
        yield Finding(Fault.TEXTLESS, one.trial, row, "; ".join(at_line))
    if not reported and not at_line and not row.may_vanish:
        yield Finding(Fault.LOST, one.trial, row, "in no rejected row's text, and no rejected row has its line")
    if row.is_valid:
        yield Finding(Fault.MISSED, one.trial, row, "; ".join(reported or at_line) or "lost")


def _at_its_line(one: Landed, row: Row) -> list[str]:
    """What is told of the physical line on which the row's mark stands, in a text file."""
    lines = re.split(b"\r\n|\r|\n", one.trial.content)
    numbers = {number for number, line in enumerate(lines, 1) if row.mark.encode() in line}
    return [f"{reason}; its text is {text[:60]}" for text, reason, line in one.rejected if line in numbers]


def _unequal(verdict: Verdict) -> Iterator[Finding]:
    for by_form in verdict.answers.values():
        if len({answer for answer, _, _ in by_form.values()}) > 1:
            reported = ", ".join(f"{form}: {answer}" for form, (answer, _, _) in by_form.items())
            _, trial, row = next(iter(by_form.values()))
            yield Finding(Fault.UNEQUAL, trial, row, reported)
