"""Each letter once: odd answers of the server, broken talks, and what the outbox does about them."""

from __future__ import annotations

from datetime import timedelta
from functools import partial
from pathlib import Path

import pytest

from models.delivery_attempts import MOST_ATTEMPTS, Reply, State
from models.settings.mail import Mail
from pipelines import delivery
from pipelines.delivery import outbox
from pipelines.delivery.smtp import Talk
from pipelines.shop import warehouse
from tests.pipelines.delivery.letters import SENDER, START, Clock, mail_of, queued, send_due, settle
from tests.pipelines.delivery.mail_faults import tried
from tests.pipelines.delivery.mailbox import HOST, Fault, mail_server
from tests.pipelines.delivery.odd_mailbox import MUDDLED, STAGES, Oddity, OddMailbox, odd_mail_server
from tests.pipelines.delivery.scripted_mailbox import HELLO, scripted


def test_letters_through_an_odd_server_arrive_once_or_are_unsure(tmp_path: Path) -> None:
    """Forty letters; `make bench` tries three hundred. RFC 5321, section 4.2.1, says what each reply means."""
    found = tried(40, 20261103, tmp_path)
    assert found.wrong == []
    assert found.states[State.SENT] > 10
    assert found.states[State.UNSURE] > 5
    assert found.talks > 45


ANYTHING_BUT_AN_ANSWER = [kind for kind in MUDDLED if kind != "twice"]


@pytest.mark.parametrize("kind", ANYTHING_BUT_AN_ANSWER)
def test_anything_but_a_clear_answer_to_the_text_is_unsure(kind: str, tmp_path: Path) -> None:
    with odd_mail_server(OddMailbox([Oddity("DOT", kind, keeps=True)])) as mailbox, warehouse.scratch() as connection:
        outbox.queue(connection, tmp_path, "report", 1, [queued(1)], START)
        (outcome,) = settle(connection, tmp_path, mail_of(mailbox), Clock())
    assert (outcome.state, mailbox.talks, mailbox.kept.total()) == (State.UNSURE, 1, 1)


@pytest.mark.published
@pytest.mark.parametrize("code", [b"250", b"251", b"252", b"200", b"207"])
def test_any_2xx_to_the_text_is_a_success(code: bytes, tmp_path: Path) -> None:
    """RFC 5321 (2008), section 4.2.1: "2yz Positive Completion reply"; the first digit alone says so (4.3.2)."""
    lines = [*HELLO, b"250 ok", b"250 ok", b"354 go on", code + b" taken", b"221 bye"]
    with scripted(lines) as mailbox, warehouse.scratch() as connection:
        outbox.queue(connection, tmp_path, "report", 1, [queued(1)], START)
        (outcome,) = settle(connection, tmp_path, mail_of(mailbox), Clock())
    assert outcome.state is State.SENT


@pytest.mark.parametrize("stage", [stage for stage in STAGES if stage != "QUIT"])
def test_a_server_that_drips_cannot_hold_a_talk_beyond_its_deadline(stage: str) -> None:
    """Each byte comes well within any time-out for one read, and the whole would be a good answer in the end."""
    with odd_mail_server(OddMailbox([Oddity(stage, "endless drip")])) as mailbox:
        answer = delivery.deliver(mail_of(mailbox, 0.4), queued(1).text, "packer@fernmoor.example", lambda: None)
        assert answer.reply in (Reply.DEFERRED, Reply.UNCLEAR)
        assert "0.4 seconds" in answer.words


def test_a_letter_is_queued_once_and_sent_once_however_often_a_run_is_repeated(tmp_path: Path) -> None:
    clock, letters = Clock(), [queued(1), queued(1, "other@fernmoor.example")]
    with mail_server() as mailbox, warehouse.scratch() as connection:
        for _ in range(3):
            outbox.queue(connection, tmp_path, "report", 1, letters, clock.now)
            send_due(connection, tmp_path, partial(delivery.deliver, mail_of(mailbox)), clock)
        assert sorted(str(letter["Message-ID"]) for letter in mailbox.kept) == sorted(
            letter.message_id for letter in letters
        )


def test_the_text_arrives_as_it_was_written(tmp_path: Path) -> None:
    with mail_server() as mailbox, warehouse.scratch() as connection:
        outbox.queue(connection, tmp_path, "report", 1, [queued(1)], START)
        settle(connection, tmp_path, mail_of(mailbox), Clock())
        # RFC 5321, section 4.5.2: the server takes away the dot that the client put before a line's own dot.
        assert mailbox.raw[0].rstrip(b"\r\n") == queued(1).text.rstrip(b"\r\n")


def test_waits_grow_and_end(tmp_path: Path) -> None:
    clock = Clock()
    with mail_server() as mailbox, warehouse.scratch() as connection:
        mailbox.faults = [Fault("RCPT", "4xx")] * (MOST_ATTEMPTS + 5)
        outbox.queue(connection, tmp_path, "report", 1, [queued(1)], clock.now)
        (outcome,) = settle(connection, tmp_path, mail_of(mailbox), clock)
        assert (outcome.state, outcome.attempts) == (State.FAILED, MOST_ATTEMPTS)
        assert timedelta(hours=12) < clock.now - START < timedelta(days=3)
        assert "451 4.3.0 not now" in outcome.last_error
        assert not mailbox.kept


def test_failed_and_unsure_letters_go_again_only_when_asked_for(tmp_path: Path) -> None:
    clock = Clock()
    with mail_server() as mailbox, warehouse.scratch() as connection:
        mailbox.faults = [Fault("RCPT", "5xx"), Fault("END", "drop"), Fault("END", "drop after keeping")]
        for number in (1, 2, 3):
            outbox.queue(connection, tmp_path, "report", number, [queued(number)], clock.now)
        states = [letter.state for letter in settle(connection, tmp_path, mail_of(mailbox), clock)]
        assert sorted(states) == [State.FAILED, State.UNSURE, State.UNSURE]
        assert outbox.next_due(connection, clock.now) is None
        assert outbox.retry_failed(connection, clock.now) == 1
        assert [letter.state for letter in settle(connection, tmp_path, mail_of(mailbox), clock)] == [State.SENT]
        assert len(mailbox.kept) == 2
        assert outbox.retry_unsure(connection, clock.now) == 2
        states = [letter.state for letter in settle(connection, tmp_path, mail_of(mailbox), clock)]
        assert states == [State.SENT, State.SENT]
    # Either may have come before: both say so, and one did.
    assert [copy["X-Dunnage-Repeat"] for copy in mailbox.kept].count("possible") == 2
    assert len(mailbox.kept) == 4
    assert list(tmp_path.iterdir()) == []


def test_the_outbox_says_when_the_next_letter_is_due(tmp_path: Path) -> None:
    clock = Clock()
    with mail_server() as mailbox, warehouse.scratch() as connection:
        assert outbox.next_due(connection, clock.now) is None
        mailbox.faults = [Fault("RCPT", "4xx")]
        outbox.queue(connection, tmp_path, "report", 1, [queued(1)], clock.now)
        assert outbox.next_due(connection, clock.now) == START
        send_due(connection, tmp_path, partial(delivery.deliver, mail_of(mailbox)), clock)
        assert outbox.next_due(connection, clock.now) == START + timedelta(minutes=5)
        clock.now += timedelta(minutes=5)
        outbox.claim_due(connection, tmp_path, clock.now)
        assert outbox.next_due(connection, clock.now) == clock.now  # whoever claimed it may be dead


def test_an_unreachable_server_is_asked_once_in_a_run(tmp_path: Path) -> None:
    asked: list[int] = []

    def refuse(mail: Mail) -> Talk:
        asked.append(1)
        raise ConnectionRefusedError("nobody listens")

    with warehouse.scratch() as connection:
        outbox.queue(connection, tmp_path, "report", 1, [queued(n) for n in range(5)], START)
        hand_over = partial(delivery.deliver, Mail(host=HOST, sender=SENDER), connect=refuse)
        letters = send_due(connection, tmp_path, hand_over, Clock())
    assert len(asked) == 1
    assert [(letter.state, letter.attempts) for letter in letters] == [(State.QUEUED, 1)] * 5


def test_a_letter_whose_text_is_gone_fails_with_its_reason(tmp_path: Path) -> None:
    with mail_server() as mailbox, warehouse.scratch() as connection:
        outbox.queue(connection, tmp_path, "report", 1, [queued(1)], START)
        outbox.text_path(tmp_path, queued(1).message_id).unlink()
        (outcome,) = settle(connection, tmp_path, mail_of(mailbox), Clock())
    assert outcome.state is State.FAILED
    assert "is gone" in outcome.last_error
