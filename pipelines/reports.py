"""The runs that end in a letter, as plain lists of steps: the month's review and the alarms between reviews."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pandas as pd

from models import editions, mailing
from models.errors import DunnageError, NotFoundError, SettingsError
from models.mail_settings import Mail
from models.mailing import Answer, Letter, Reply, State
from pipelines import delivery, outbox, reviewing, runs, warehouse
from pipelines.outbox import Queued
from pipelines.scheduling import Absence
from pipelines.settings import Settings

if TYPE_CHECKING:
    from dashboards.message import Envelope

# Stands for the shop's addresses where a letter is only looked at (RFC 2606: this domain exists nowhere).
NOBODY = "reports@shop.invalid"


@dataclass(frozen=True)
class Sending:
    """What a run queued and sent. edition: of the report. letters: as they stand after the run."""

    report: str
    edition: int
    queued: Sequence[str] = ()
    letters: Sequence[Letter] = ()
    files: Sequence[Path] = field(default=())

    @property
    def waiting(self) -> list[Letter]:
        """Letters that could not be sent yet."""
        return [letter for letter in self.letters if letter.state is State.QUEUED]

    @property
    def lost(self) -> list[Letter]:
        """Letters that will not be sent any more."""
        return [letter for letter in self.letters if letter.state is State.FAILED]


def utc_now() -> datetime:
    """The present instant in UTC, without zone, as the outbox holds it."""
    return datetime.now(UTC).replace(tzinfo=None)


def required_mail(settings: Settings) -> Mail:
    """The mail settings. Raises SettingsError where the shop has none."""
    if not settings.mail.is_set:
        raise SettingsError(
            str(settings.folder / "dunnage.toml"),
            "has no mail server",
            "every mail of this shop",
            "fill in the section [mail], or look at the letter with `dunnage send --dry-run`",
        )
    return settings.mail


def send_review(
    settings: Settings,
    made: runs.ReviewMade,
    connect: delivery.Connect | None = None,
    now: Callable[[], datetime] = utc_now,
    *,
    is_retry: bool = False,
) -> Sending:
    """Queue the review for every recipient who has not had this edition, then send what is due. Raises DunnageError."""
    write = partial(_review_letter, settings, made)
    return _queued_and_sent(settings, _facts(made), write, connect, now, is_retry=is_retry)


def send_alarms(
    settings: Settings,
    alarms: pd.DataFrame,
    connect: delivery.Connect | None = None,
    now: Callable[[], datetime] = utc_now,
) -> Sending:
    """Mail the alarms that nobody has acknowledged; the same alarms are not mailed a second time."""
    if alarms.empty:
        return send_waiting(settings, connect, now)
    facts = Facts("alarms", sha256(repr(sorted(map(str, alarms["alarm_id"]))).encode()).hexdigest(), {})
    return _queued_and_sent(settings, facts, partial(_alarm_letter, settings, alarms), connect, now)


@dataclass(frozen=True)
class Facts:
    """What makes an edition: the report's name, the digest of its facts, its headline amounts."""

    report: str
    mark: str
    headline: editions.Amounts


def _facts(made: runs.ReviewMade) -> Facts:
    mark = editions.fingerprint(made.tables, made.month)
    return Facts(editions.report_name(made.month), mark, editions.headline(made.tables, made.month))


Write = Callable[[Facts, outbox.Edition, str, str], Queued]


def _queued_and_sent(
    settings: Settings,
    facts: Facts,
    write: Write,
    connect: delivery.Connect | None,
    now: Callable[[], datetime],
    *,
    is_retry: bool = False,
) -> Sending:
    mail, folder = required_mail(settings), settings.path("outbox")
    with warehouse.writing(settings, "send") as connection:
        edition = outbox.edition_of(connection, facts.report, facts.mark, facts.headline, now())
        letters = (write(facts, edition, mail.sender, recipient) for recipient in mail.recipients)
        queued = outbox.queue(connection, folder, facts.report, edition.number, letters, now())
        if is_retry:
            outbox.retry_failed(connection, now())
        sent = _send_due(connection, settings, connect, now)
    return Sending(facts.report, edition.number, queued, sent)


def _review_letter(
    settings: Settings, made: runs.ReviewMade, facts: Facts, edition: outbox.Edition, sender: str, recipient: str
) -> Queued:
    from dashboards import message

    fixed = _fixed_id(settings, facts, sender, recipient)
    page, book = (message.Enclosure(path.name, path.read_bytes(), str(path)) for path in (made.page, made.workbook))
    envelope = _envelope(settings, sender, recipient, fixed, made.review.made_at)
    text = message.message(made.review, page, book, envelope, message.Edition(edition.number, edition.changes))
    return Queued(fixed, recipient, text.as_bytes())


def _alarm_letter(
    settings: Settings, alarms: pd.DataFrame, facts: Facts, edition: outbox.Edition, sender: str, recipient: str
) -> Queued:
    from dashboards import message
    from dashboards.damage_words import alarm_lines

    fixed = _fixed_id(settings, facts, sender, recipient)
    told = [
        *alarm_lines(alarms, settings.shop.currency),
        "Seen? `dunnage watch --acknowledge ID` ends the mails on it.",
    ]
    subject = f"{settings.shop.name}: {len(alarms)} alarm{'s' if len(alarms) > 1 else ''} between reviews"
    envelope = _envelope(settings, sender, recipient, fixed, runs.now_at(settings))
    text = message.notice(subject, told, envelope)
    return Queued(fixed, recipient, text.as_bytes())


def _fixed_id(settings: Settings, facts: Facts, sender: str, recipient: str) -> str:
    return mailing.message_id([settings.shop.name, facts.report, facts.mark, recipient], sender)


def _envelope(settings: Settings, sender: str, recipient: str, message_id: str, wall: datetime) -> Envelope:
    from dashboards.message import Envelope

    aware = wall.replace(tzinfo=ZoneInfo(settings.shop.time_zone))
    return Envelope(sender, recipient, message_id, aware, settings.mail.attach_limit_mb)


def _send_due(
    connection: warehouse.Connection, settings: Settings, connect: delivery.Connect | None, now: Callable[[], datetime]
) -> list[Letter]:
    hand_over = partial(delivery.deliver, settings.mail, connect=connect)
    return outbox.send_due(connection, settings.path("outbox"), hand_over, now)


def send_waiting(
    settings: Settings, connect: delivery.Connect | None = None, now: Callable[[], datetime] = utc_now
) -> Sending:
    """Send what is due of letters queued before; nothing where the shop has no mail server or no letter waits."""
    if not settings.mail.is_set or not _any_waits(settings):
        return Sending("waiting letters", 0)
    with warehouse.writing(settings, "send") as connection:
        return Sending("waiting letters", 0, letters=_send_due(connection, settings, connect, now))


def _any_waits(settings: Settings) -> bool:
    try:
        with warehouse.reading(settings) as connection:
            return outbox.any_waits(connection)
    except NotFoundError:  # nothing was ever landed
        return False


def dry_run(settings: Settings, made: runs.ReviewMade) -> Sending:
    """Write the letters as .eml files beside the reviews, one per recipient; nothing is queued or sent."""
    sender, recipients = settings.mail.sender or NOBODY, settings.mail.recipients or [NOBODY]
    facts = _facts(made)
    with warehouse.writing(settings, "send --dry-run") as connection:
        edition = outbox.edition_of(connection, facts.report, facts.mark, facts.headline, utc_now(), keep=False)
    letters = [_review_letter(settings, made, facts, edition, sender, name) for name in recipients]
    files = {f"review-{made.month:%Y-%m}-letter-{at}.eml": letter.text for at, letter in enumerate(letters, start=1)}
    return Sending(facts.report, edition.number, files=reviewing.written(settings.path("reviews"), files))


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
    envelope = _envelope(settings, mail.sender, mail.owner, fixed, runs.now_at(settings))
    letter = notice(f"{settings.shop.name}: the schedule was away", told, envelope)
    with warehouse.writing(settings, "send") as connection:
        queued = Queued(fixed, mail.owner, letter.as_bytes())
        outbox.queue(connection, settings.path("outbox"), "absence", 1, [queued], utc_now())


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
    fixed = mailing.message_id([settings.shop.name, subject, str(utc_now())], mail.sender)
    letter = notice(subject, paragraphs, _envelope(settings, mail.sender, mail.owner, fixed, runs.now_at(settings)))
    try:
        return delivery.deliver(mail, letter.as_bytes(), mail.owner, lambda: None)
    except DunnageError as wrong:
        return Answer(Reply.DEFERRED, wrong.what)
