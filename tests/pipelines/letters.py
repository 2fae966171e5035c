"""Letters to queue, a clock to move, and the settings of a mail server on this machine."""

from __future__ import annotations

from datetime import datetime

from models.mail_settings import Mail
from models.mailing import message_id
from pipelines.outbox import Queued
from tests.pipelines.mailbox import HOST, Mailbox

SENDER = "reports@fernmoor.example"
TEXT = (
    b"From: a@fernmoor.example\r\nMessage-ID: %s\r\nSubject: October\r\n\r\n.a line that starts with a dot\r\n..two\r\n"
)
START = datetime(2026, 11, 3, 6, 30)


class Clock:
    """A clock that only a test moves."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        return self.now


def queued(number: int, recipient: str = "packer@fernmoor.example") -> Queued:
    fixed = message_id(["shop", f"report {number}", "mark", recipient], SENDER)
    return Queued(fixed, recipient, TEXT % fixed.encode())


def mail_of(mailbox: Mailbox, timeout: float = 0.25) -> Mail:
    return Mail(host=HOST, port=mailbox.port, security="none", sender=SENDER, timeout_seconds=timeout)
