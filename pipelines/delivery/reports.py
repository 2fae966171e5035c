"""The runs that end in a letter, as plain lists of steps: the month's review and the alarms between reviews."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pandas as pd

from models import delivery_attempts, editions
from models.delivery_attempts import Letter, State
from models.errors import SettingsError
from models.settings.mail import Mail
from pipelines import delivery
from pipelines.delivery import outbox
from pipelines.delivery.outbox import Queued
from pipelines.review import month_review, runs
from pipelines.review.editions import Edition, edition_of
from pipelines.shop import run_log, warehouse
from pipelines.shop.settings import Settings, now_at

if TYPE_CHECKING:
    from dashboards.letter_email import Envelope

# Stands for the shop's addresses where a letter is only looked at (RFC 2606: this domain exists nowhere).
NOBODY = "reports@shop.invalid"


@dataclass(frozen=True)
class Sending:
    """What a run queued and sent. edition: of the report. letters: as they stand after the run.

    is_alone: false where another run was still sending, so that this one only queued.
    """

    report: str
    edition: int
    queued: Sequence[str] = ()
    letters: Sequence[Letter] = ()
    files: Sequence[Path] = field(default=())
    is_alone: bool = True

    @property
    def waiting(self) -> list[Letter]:
        """Letters that could not be sent yet."""
        return [letter for letter in self.letters if letter.state is State.QUEUED]

    @property
    def lost(self) -> list[Letter]:
        """Letters that will not be sent any more, unless the owner asks."""
        return [letter for letter in self.letters if letter.state in (State.FAILED, State.UNSURE)]


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
    again: Sequence[Again] = (),
) -> Sending:
    """Queue the review for every recipient who has not had this edition, then send what is due. Raises DunnageError.

    again: outbox.retry_failed or retry_unsure, for letters of any report that would else stay as they are.
    """
    write = partial(_review_letter, settings, made)
    return _queued_and_sent(settings, _facts(made), write, connect, now, again)


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


Write = Callable[[Facts, Edition, str, str], Queued]
Again = Callable[[warehouse.Connection, datetime], int]
# What a run does with the warehouse before it sends; returns what it queued.
Enqueue = Callable[[warehouse.Connection], Sending]


def _queued_and_sent(
    settings: Settings,
    facts: Facts,
    write: Write,
    connect: delivery.Connect | None,
    now: Callable[[], datetime],
    again: Sequence[Again] = (),
) -> Sending:
    mail, folder = required_mail(settings), settings.path("outbox")

    def enqueue(connection: warehouse.Connection) -> Sending:
        edition = edition_of(connection, facts.report, facts.mark, facts.headline, now())
        letters = (write(facts, edition, mail.sender, recipient) for recipient in mail.recipients)
        queued = outbox.queue(connection, folder, facts.report, edition.number, letters, now())
        for retry in again:
            retry(connection, now())
        return Sending(facts.report, edition.number, queued)

    return _sent(settings, enqueue, connect, now)


def _sent(
    settings: Settings, enqueue: Enqueue, connect: delivery.Connect | None, now: Callable[[], datetime]
) -> Sending:
    """Queue and claim, talk to the mail server while others may write the warehouse, take the answers over."""
    folder, deliver = settings.path("outbox"), partial(delivery.deliver, settings.mail, connect=connect)
    with outbox.sole_sender(settings.folder, settings.mail.timeout_seconds) as is_alone:
        with warehouse.writing(settings, "send") as connection:
            sending = enqueue(connection)
            if not is_alone:
                return replace(sending, is_alone=False)
            left = outbox.settle(connection, folder, now())
            due = outbox.claim_due(connection, folder, now())
        outbox.hand_over(folder, due, deliver)
        if not due:
            return replace(sending, letters=left)
        with run_log.patiently(), warehouse.writing(settings, "send") as connection:
            outcome = {letter.message_id: letter for letter in [*left, *outbox.settle(connection, folder, now())]}
    return replace(sending, letters=list(outcome.values()))


def _review_letter(
    settings: Settings, made: runs.ReviewMade, facts: Facts, edition: Edition, sender: str, recipient: str
) -> Queued:
    from dashboards import letter_email

    fixed = _fixed_id(settings, facts, sender, recipient)
    page, book = (
        letter_email.Enclosure(path.name, path.read_bytes(), str(path)) for path in (made.page, made.workbook)
    )
    envelope = envelope_of(settings, sender, recipient, fixed, made.review.made_at)
    text = letter_email.message(
        made.review, page, book, envelope, letter_email.Edition(edition.number, edition.changes)
    )
    return Queued(fixed, recipient, text.as_bytes())


def _alarm_letter(
    settings: Settings, alarms: pd.DataFrame, facts: Facts, edition: Edition, sender: str, recipient: str
) -> Queued:
    from dashboards import letter_email
    from dashboards.damage_words import alarm_lines

    fixed = _fixed_id(settings, facts, sender, recipient)
    sentences = [
        *alarm_lines({runs.WATCHED: alarms}, settings.shop.shown_units),
        "Seen? `dunnage watch --acknowledge ID` ends the mails on it.",
    ]
    subject = f"{settings.shop.name}: {len(alarms)} alarm{'s' if len(alarms) > 1 else ''} between reviews"
    envelope = envelope_of(settings, sender, recipient, fixed, now_at(settings))
    text = letter_email.notice(subject, sentences, envelope)
    return Queued(fixed, recipient, text.as_bytes())


def _fixed_id(settings: Settings, facts: Facts, sender: str, recipient: str) -> str:
    return delivery_attempts.message_id([settings.shop.name, facts.report, facts.mark, recipient], sender)


def envelope_of(settings: Settings, sender: str, recipient: str, message_id: str, wall: datetime) -> Envelope:
    """What stands around a letter. wall: when it was made, by the shop's clock, without zone."""
    from dashboards.letter_email import Envelope

    aware = wall.replace(tzinfo=ZoneInfo(settings.shop.time_zone))
    mail = settings.mail
    return Envelope(sender, recipient, message_id, aware, tuple(mail.attach), mail.attach_limit_mb)


def send_waiting(
    settings: Settings, connect: delivery.Connect | None = None, now: Callable[[], datetime] = utc_now
) -> Sending:
    """Send what is due of letters queued before; nothing where the shop has no mail server or no letter waits."""
    nothing = Sending("waiting letters", 0)
    if outbox.next_letter_at(settings, now()) is None:
        return nothing
    return _sent(settings, lambda connection: nothing, connect, now)


def dry_run(settings: Settings, made: runs.ReviewMade) -> Sending:
    """Write the letters as .eml files beside the reviews, one per recipient; nothing is queued or sent."""
    sender, recipients = settings.mail.sender or NOBODY, settings.mail.recipients or [NOBODY]
    facts = _facts(made)
    with warehouse.writing(settings, "send --dry-run") as connection:
        edition = edition_of(connection, facts.report, facts.mark, facts.headline, utc_now(), keep=False)
    letters = [_review_letter(settings, made, facts, edition, sender, name) for name in recipients]
    files = {f"review-{made.month:%Y-%m}-letter-{at}.eml": letter.text for at, letter in enumerate(letters, start=1)}
    return Sending(facts.report, edition.number, files=month_review.written(settings.path("reviews"), files))
