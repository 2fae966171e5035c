"""Letters to the owner about the program itself: failed runs, a schedule that was away, letters that are lost."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from models import delivery_attempts
from models.delivery_attempts import Answer, Reply, State
from models.errors import DunnageError, NotFoundError
from pipelines import delivery
from pipelines.delivery import outbox, reports
from pipelines.delivery.outbox import Queued
from pipelines.shop import run_log, warehouse
from pipelines.shop.run_log import Absence
from pipelines.shop.settings import Settings, now_at

if TYPE_CHECKING:
    import pandas as pd

MADE_UP = "The latest run of each is made up now. If one fails, a letter of its own says so."


def mail_absences(settings: Settings, absences: Sequence[Absence]) -> None:
    """Queue a letter to the owner about runs that nobody began at their time; the same absence is reported once.

    The letter is queued before the runs are made up: once they are begun, nothing tells that they were late.
    """
    if not settings.mail.has_owner or not absences:
        return
    with run_log.patiently(), warehouse.writing(settings, "send") as connection:
        known = connection.execute("select report from outbox.messages where report like 'absence: %'").fetchall()
        fresh = [each for each in absences if not any(_mark(each) in report for (report,) in known)]
        if fresh:
            marks = [_mark(each) for each in fresh]
            lines = [*map(_absence_line, fresh), MADE_UP]
            letter = _letter(settings, f"{settings.shop.name}: the schedule was away", lines, "absence", *marks)
            report = f"absence: {', '.join(marks)}"
            outbox.queue(connection, settings.path("outbox"), report, 1, [letter], reports.utc_now())


def _mark(absence: Absence) -> str:
    return f"{absence.kind} of {absence.first.due_on}"


def _absence_line(absence: Absence) -> str:
    days = f"{absence.first.due_on}" + (f" to {absence.last.due_on}" if absence.count > 1 else "")
    count = "1 run was" if absence.count == 1 else f"{absence.count} runs were"
    return f"{absence.kind}: {count} not begun at the time ({days})."


LOST = {
    State.FAILED: "refused for good",
    State.UNSURE: "handed over without a clear answer: it may have arrived or not",
}
AFTERWARDS = (
    "`dunnage send --retry-failed` sends the refused ones again, `dunnage send --drop-failed` gives them up. "
    "Ask the recipients of the others: `dunnage send --retry-unsure` sends those again, "
    "`dunnage send --arrived` settles them."
)


def send_waiting(settings: Settings) -> None:
    """The end of a scheduled run: send what is due of waiting letters, and tell the owner once of each that is lost."""
    with run_log.patiently():
        reports.send_waiting(settings)
        if _report_lost(settings):
            reports.send_waiting(settings)


def _report_lost(settings: Settings) -> int:
    """Queue a letter to the owner about lost letters; returns how many were not reported yet."""
    if not settings.mail.has_owner or not _has_unreported(settings):
        return 0
    with warehouse.writing(settings, "send") as connection:
        return outbox.queue_notice(
            connection, settings.path("outbox"), partial(_lost_notice, settings), reports.utc_now()
        )


def _has_unreported(settings: Settings) -> bool:
    try:
        with warehouse.reading(settings) as connection:
            return not outbox.unreported(connection).empty
    except NotFoundError:  # nothing was ever imported
        return False


def _lost_notice(settings: Settings, number: int, lost: pd.DataFrame) -> Queued:
    subject = f"{settings.shop.name}: {len(lost)} letter{'s' if len(lost) > 1 else ''} may not have arrived"
    sentences = [
        f"{row.report}, edition {row.edition}, to {row.recipient}: {LOST[State(str(row.state))]} ({row.last_error})."
        for row in lost.itertuples()
    ]
    return _letter(settings, subject, [*sentences, AFTERWARDS], "lost letters", str(number))


def mail_hang(settings: Settings, now: datetime) -> None:
    """Mail the owner that a run hung and was ended, once until what is due has succeeded."""
    due = run_log.due_runs(settings, now)
    kinds = [each.kind for each in due] or ["letters"]
    if all(run_log.is_reported(settings, kind, now) for kind in kinds):
        return
    still = ", ".join(f"{each.kind} of {each.due_on}" for each in due) or "letters that wait"
    sentences = [
        f"A scheduled run was not over after {settings.schedule.end_after_hours:g} hours and was ended.",
        f"Still due: {still}. It is done again now.",
        "`dunnage status` shows more. Where honest runs take that long, raise end_after_hours in [schedule].",
    ]
    answer = mail_owner(settings, f"{settings.shop.name}: a scheduled run hung", sentences)
    if answer.reply is Reply.ACCEPTED:
        for kind in kinds:
            run_log.note_reported(settings, kind, now)


def mail_owner(settings: Settings, subject: str, paragraphs: Sequence[str]) -> Answer:
    """Mail the owner at once, past the outbox: the warehouse itself may be what failed. Never raises."""
    mail = settings.mail
    if not mail.has_owner:
        return Answer(Reply.REFUSED, "no owner is named in [mail]")
    letter = _letter(settings, subject, paragraphs, subject, str(reports.utc_now()))
    try:
        return delivery.deliver(mail, letter.text, mail.owner, lambda: None)
    except DunnageError as wrong:
        return Answer(Reply.DEFERRED, wrong.what)


def _letter(settings: Settings, subject: str, paragraphs: Sequence[str], *facts: str) -> Queued:
    """A letter to the owner. facts: what its id is made of, so that the same facts are one letter."""
    from dashboards.letter_email import notice

    mail = settings.mail
    fixed = delivery_attempts.message_id([settings.shop.name, *facts], mail.sender)
    envelope = reports.envelope_of(settings, mail.sender, mail.owner, fixed, now_at(settings))
    return Queued(fixed, mail.owner, notice(subject, paragraphs, envelope).as_bytes())
