"""Letters to the owner about the program itself: runs that failed, and a schedule that was away."""

from __future__ import annotations

from collections.abc import Sequence

from models import mailing
from models.errors import DunnageError
from models.mailing import Answer, Reply
from pipelines import delivery, outbox, reports, runs, warehouse
from pipelines.outbox import Queued
from pipelines.scheduling import Absence
from pipelines.settings import Settings


def tell_absences(settings: Settings, absences: Sequence[Absence], failed: Sequence[str]) -> None:
    """Queue a letter to the owner about runs that nobody began at their time; the same absence is told once.

    failed: kinds of run that could not be made up now.
    """
    from dashboards.message import notice

    mail = settings.mail
    if not mail.is_set or not mail.owner:
        return
    told = [_absence_told(each, each.kind in failed) for each in absences]
    marks = [f"{each.kind} {each.first.due_on}" for each in absences]
    fixed = mailing.message_id([settings.shop.name, "absence", *marks], mail.sender)
    envelope = reports.envelope_of(settings, mail.sender, mail.owner, fixed, runs.now_at(settings))
    letter = notice(f"{settings.shop.name}: the schedule was away", told, envelope)
    with warehouse.writing(settings, "send") as connection:
        queued = Queued(fixed, mail.owner, letter.as_bytes())
        outbox.queue(connection, settings.path("outbox"), "absence", 1, [queued], reports.utc_now())


def _absence_told(absence: Absence, has_failed: bool) -> str:
    days = f"{absence.first.due_on}" + (f" to {absence.last.due_on}" if absence.count > 1 else "")
    count = "1 run was" if absence.count == 1 else f"{absence.count} runs were"
    now = "Making it up failed; it is tried again." if has_failed else f"That of {absence.last.due_on} was made up."
    return f"{absence.kind}: {count} not begun at the time ({days}). {now}"


def tell_owner(settings: Settings, subject: str, paragraphs: Sequence[str]) -> Answer:
    """Mail the owner at once, past the outbox: the warehouse itself may be what failed. Never raises."""
    from dashboards.message import notice

    mail = settings.mail
    if not mail.is_set or not mail.owner:
        return Answer(Reply.REFUSED, "no owner is named in [mail]")
    fixed = mailing.message_id([settings.shop.name, subject, str(reports.utc_now())], mail.sender)
    letter = notice(
        subject, paragraphs, reports.envelope_of(settings, mail.sender, mail.owner, fixed, runs.now_at(settings))
    )
    try:
        return delivery.deliver(mail, letter.as_bytes(), mail.owner, lambda: None)
    except DunnageError as wrong:
        return Answer(Reply.DEFERRED, wrong.what)
