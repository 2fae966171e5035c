"""What becomes of a letter: its fixed id, and the state that each answer of the mail server leads to.

A letter is sent once. Only where the connection broke after the whole text was on its way and before the server
answered can nobody know; it is then sent once more under the same id, and never a third time.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

MOST_ATTEMPTS = 8
FIRST_WAIT = timedelta(minutes=5)
LONGEST_WAIT = timedelta(hours=12)
WAIT_FACTOR = 3


class State(StrEnum):
    """queued: waits for its time. sending: the text is on its way. sent, failed: settled.

    unsure: settled too, since the server once did not answer; it arrived twice, once or not at all.
    """

    QUEUED = "queued"
    SENDING = "sending"
    SENT = "sent"
    UNSURE = "unsure"
    FAILED = "failed"


class Reply(StrEnum):
    """accepted: the server has it. refused: for good. deferred: not now, and nothing was taken.

    unanswered: the text was sent whole and no answer came.
    """

    ACCEPTED = "accepted"
    REFUSED = "refused"
    DEFERRED = "deferred"
    UNANSWERED = "unanswered"


@dataclass(frozen=True)
class Answer:
    """A reply with the server's words. is_for_all: the server or the login, not this letter, is the cause."""

    reply: Reply
    words: str = ""
    is_for_all: bool = False


@dataclass(frozen=True)
class Letter:
    """One edition of a report to one recipient. attempts: talks begun. unanswered_count: texts sent without answer."""

    message_id: str
    state: State
    attempts: int = 0
    unanswered_count: int = 0
    next_attempt_at: datetime | None = None
    last_error: str = ""
    sent_at: datetime | None = None

    @property
    def is_repeat(self) -> bool:
        """Whether the server may have it already."""
        return self.unanswered_count > 0


def message_id(parts: Sequence[str], sender: str) -> str:
    """The Message-ID of a letter: always the same for the same parts (shop, report, fingerprint, recipient).

    Form as RFC 5322, section 3.6.4, with the sender's domain on the right.
    """
    digest = hashlib.sha256("\x1f".join(parts).encode()).hexdigest()
    return f"<{digest[:40]}@{sender.rsplit('@', 1)[-1]}>"


def wait_after(attempts: int) -> timedelta:
    """How long to wait after the n-th attempt: longer each time, up to half a day."""
    growth = int(WAIT_FACTOR ** min(attempts - 1, 10))
    return min(FIRST_WAIT * growth, LONGEST_WAIT)


def begun(letter: Letter) -> Letter:
    """The letter as it stands while its text is on the way; whoever finds it so knows that the run was cut off."""
    return replace(letter, state=State.SENDING)


def found_cut_off(letter: Letter, now: datetime) -> Letter:
    """A letter that an ended run left in `sending`."""
    return answered(letter, Answer(Reply.UNANSWERED, "the run ended before the server answered"), now)


def answered(letter: Letter, answer: Answer, now: datetime) -> Letter:
    """The letter after the server's answer. now: instant, any zone or none, as next_attempt_at shall be."""
    tried = replace(letter, attempts=letter.attempts + 1, last_error=answer.words, next_attempt_at=None)
    if answer.reply is Reply.ACCEPTED:
        state = State.UNSURE if letter.is_repeat else State.SENT
        return replace(tried, state=state, sent_at=now, last_error="")
    if answer.reply is Reply.UNANSWERED:
        tried = replace(tried, unanswered_count=letter.unanswered_count + 1)
        return replace(tried, state=State.UNSURE) if tried.unanswered_count > 1 else _again(tried, now)
    if answer.reply is Reply.REFUSED:
        return replace(tried, state=_given_up(letter))
    return _again(tried, now)


def _again(letter: Letter, now: datetime) -> Letter:
    if letter.attempts >= MOST_ATTEMPTS:
        return replace(letter, state=_given_up(letter))
    return replace(letter, state=State.QUEUED, next_attempt_at=now + wait_after(letter.attempts))


def _given_up(letter: Letter) -> State:
    # A repeat that is refused may still have arrived the first time.
    return State.UNSURE if letter.is_repeat else State.FAILED
