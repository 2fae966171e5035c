"""Letters to queue, a clock to move, and the settings of a mail server on this machine."""

from __future__ import annotations

from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Protocol

from models.delivery_attempts import MOST_ATTEMPTS, Letter, message_id
from models.settings.mail import Mail
from pipelines import delivery
from pipelines.delivery import outbox
from pipelines.delivery.outbox import Deliver, Queued
from pipelines.shop.warehouse import Connection
from tests.pipelines.delivery.mailbox import HOST

SENDER = "reports@fernmoor.example"
TEXT = (
    b"From: a@fernmoor.example\r\nMessage-ID: %s\r\nSubject: October\r\n\r\n.a line that starts with a dot\r\n..two\r\n"
)
START = datetime(2026, 11, 3, 6, 30)


class Served(Protocol):
    """A server that listens on this machine."""

    port: int


class Clock:
    """A clock that only a test moves."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        return self.now


def queued(number: int, recipient: str = "packer@fernmoor.example") -> Queued:
    fixed = message_id(["shop", f"report {number}", "mark", recipient], SENDER)
    return Queued(fixed, recipient, TEXT % fixed.encode())


def mail_of(mailbox: Served, timeout: float = 30.0) -> Mail:
    return Mail(host=HOST, port=mailbox.port, security="none", sender=SENDER, timeout_seconds=timeout)


def send_due(connection: Connection, folder: Path, deliver: Deliver, clock: Clock) -> list[Letter]:
    """What one run does with the outbox, in a warehouse that is open anyway; returns the letters as they stand."""
    left = outbox.settle(connection, folder, clock())
    outbox.hand_over(folder, outbox.claim_due(connection, folder, clock()), deliver)
    return [*left, *outbox.settle(connection, folder, clock())]


def settle(connection: Connection, folder: Path, mail: Mail, clock: Clock) -> list[Letter]:
    """Send, wait as long as the outbox says, send again, until nothing is left to do."""
    return settle_by(connection, folder, partial(delivery.deliver, mail), clock)


def settle_by(connection: Connection, folder: Path, deliver: Deliver, clock: Clock) -> list[Letter]:
    """The same with another way to deliver."""
    seen: dict[str, Letter] = {}
    for _ in range(MOST_ATTEMPTS + 3):
        for letter in send_due(connection, folder, deliver, clock):
            seen[letter.message_id] = letter
        due = outbox.next_due(connection, clock())
        if due is None:
            return list(seen.values())
        clock.now = max(clock.now, due)
    raise AssertionError("the outbox never came to rest")


def letters_kept(connection: Connection) -> list[str]:
    """The state of every letter of the outbox, the newest first."""
    states = connection.execute("select state from outbox.messages order by queued_at desc, recipient").fetchall()
    return [str(state) for (state,) in states]
