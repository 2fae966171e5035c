"""A name service that does not answer holds neither a letter nor a run: the look-up is under the talk's deadline."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from models.delivery_attempts import Reply
from models.settings.mail import Mail
from pipelines import delivery
from pipelines.delivery.smtp import Talk
from tests.pipelines.delivery.letters import mail_of
from tests.pipelines.delivery.mailbox import mail_server
from tests.pipelines.served import HANGS

TEXT = b"Subject: October\r\n\r\nhello\r\n"
TO = "packer@fernmoor.example"


@pytest.fixture
def let_go() -> Iterator[threading.Event]:
    """What hangs waits for this, and is let go at the end of the test."""
    event = threading.Event()
    yield event
    event.set()


def test_a_look_up_without_answer_ends_with_the_deadline(
    let_go: threading.Event, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = threading.Event()

    def silent(*_: Any, **__: Any) -> list[Any]:
        asked.set()
        # An answer comes long after the deadline, and only where somebody still waits for it.
        let_go.wait(HANGS if threading.current_thread() is not threading.main_thread() else 1.0)
        return []

    with mail_server() as mailbox:
        monkeypatch.setattr(socket, "getaddrinfo", silent)
        answer = delivery.deliver(mail_of(mailbox, timeout=2.0), TEXT, TO, lambda: None)
    assert asked.is_set()
    assert (answer.reply, answer.words) == (Reply.DEFERRED, "the talk with the server was not over within 2 seconds")
    assert not mailbox.kept


def test_a_machine_that_cannot_learn_its_own_name_greets_without_it(
    let_go: threading.Event, monkeypatch: pytest.MonkeyPatch
) -> None:
    def silent() -> str:
        let_go.wait(HANGS if threading.current_thread() is not threading.main_thread() else 1.0)
        return "late.fernmoor.example"

    monkeypatch.setattr(socket, "getfqdn", silent)
    monkeypatch.setattr(delivery.lookups, "OWN_NAME_SECONDS", 0.01)
    assert Talk(Mail(host="localhost")).local_hostname == "[127.0.0.1]"


def test_the_next_address_is_tried_where_the_first_does_not_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    with mail_server() as mailbox, socket.socket() as deaf:
        deaf.bind(("127.0.0.1", 0))  # bound and not listening: whoever connects is refused
        found = [
            (socket.AF_INET, socket.SOCK_STREAM, 0, "", ("127.0.0.1", port))
            for port in (deaf.getsockname()[1], mailbox.port)
        ]
        monkeypatch.setattr(delivery.lookups, "addresses", lambda *_: found)
        assert delivery.deliver(replace(mail_of(mailbox), port=1), TEXT, TO, lambda: None).reply is Reply.ACCEPTED
    assert len(mailbox.kept) == 1
