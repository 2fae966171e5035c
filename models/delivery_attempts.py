"""What becomes of a letter: its fixed id, and the state that each answer of the mail server leads to.

A letter is handed over once. Where the whole text went out and no clear answer came back, nobody can know whether it
arrived: it is then `unsure`, and goes out again only when the owner asks for it.
"""

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
    """queued: waits for its time. sending: a sender has claimed it. sent, failed: settled.

    unsure: it may have arrived or not; it waits for the owner to ask for it. dropped: it failed, and the owner wants it
    no more.
    """

    QUEUED = "queued"
    SENDING = "sending"
    SENT = "sent"
    UNSURE = "unsure"
    FAILED = "failed"
    DROPPED = "dropped"


class Reply(StrEnum):
    """accepted: the server has it. refused: for good. deferred: not now, and nothing was taken.

    unclear: the whole text was handed over, and no answer came or none that can be relied on.
    """

    ACCEPTED = "accepted"
    REFUSED = "refused"
    DEFERRED = "deferred"
    UNCLEAR = "unclear"


@dataclass(frozen=True)
class Answer:
    """A reply with the server's words. is_for_all: the server or the login, not this letter, is the cause."""

    reply: Reply
    words: str = ""
    is_for_all: bool = False


# What is noted before the last byte of a letter goes out; it stands where the sender dies before the answer.
CUT_OFF = Answer(Reply.UNCLEAR, "the run ended before the server answered")


@dataclass(frozen=True)
class Letter:
    """One edition of a report to one recipient. attempts: claims. unanswered_count: texts handed over unclearly."""

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


def claimed(letter: Letter) -> Letter:
    """The letter as it stands while a sender works on it."""
    return replace(letter, state=State.SENDING, attempts=letter.attempts + 1, next_attempt_at=None)


def settled(letter: Letter, answer: Answer | None, now: datetime) -> Letter:
    """A claimed letter after its talk. answer: None where the sender died before the text was whole.

    now: instant, any zone or none, as next_attempt_at shall be.
    """
    if answer is None:
        left = replace(letter, last_error="the run ended before the letter was handed over")
        return _again(left, now, timedelta(0))
    answered = replace(letter, last_error=answer.words, next_attempt_at=None)
    if answer.reply is Reply.ACCEPTED:
        return replace(answered, state=State.SENT, sent_at=now, last_error="")
    if answer.reply is Reply.UNCLEAR:
        return replace(answered, state=State.UNSURE, unanswered_count=letter.unanswered_count + 1)
    if answer.reply is Reply.REFUSED:
        return replace(answered, state=_given_up(letter))
    return _again(answered, now, wait_after(letter.attempts))


def _again(letter: Letter, now: datetime, wait: timedelta) -> Letter:
    if letter.attempts >= MOST_ATTEMPTS:
        return replace(letter, state=_given_up(letter))
    return replace(letter, state=State.QUEUED, next_attempt_at=now + wait)


def _given_up(letter: Letter) -> State:
    # A repeat that is refused may still have arrived the first time.
    return State.UNSURE if letter.is_repeat else State.FAILED
