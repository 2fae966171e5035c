"""Each letter once: two hundred random faults of server and network, and processes killed at the worst moments."""

from __future__ import annotations

import random
from datetime import timedelta
from functools import partial
from pathlib import Path
from smtplib import SMTP

from models.mail_settings import Mail
from models.mailing import MOST_ATTEMPTS, Letter, State
from pipelines import delivery, outbox, warehouse
from tests.pipelines.letters import SENDER, START, Clock, mail_of, queued
from tests.pipelines.mailbox import HOST, KINDS, STAGES, Fault, mail_server


def settle(connection: warehouse.Connection, folder: Path, mail: Mail, clock: Clock) -> list[Letter]:
    """Send, wait as long as the outbox says, send again, until nothing is left to do."""
    seen: dict[str, Letter] = {}
    for _ in range(MOST_ATTEMPTS + 3):
        for letter in outbox.send_due(connection, folder, partial(delivery.deliver, mail), clock):
            seen[letter.message_id] = letter
        waiting = [letter.next_attempt_at for letter in seen.values() if letter.next_attempt_at]
        if not waiting:
            return list(seen.values())
        clock.now = max(clock.now, min(waiting))
    raise AssertionError("the outbox never came to rest")


def random_faults(chance: random.Random) -> list[Fault | None]:
    """Up to three faults, one for each talk; what no server can do at a stage is left out."""
    faults: list[Fault | None] = []
    for _ in range(chance.randint(1, 3)):
        stage = chance.choice(STAGES)
        kinds = [kind for kind in KINDS[:6] if stage == "END" or "keeping" not in kind]
        if stage == "EHLO":
            kinds = [kind for kind in kinds if kind not in ("4xx", "5xx")]  # smtplib then tries HELO
        # A hang costs the test real time, so fewer of them.
        weights = [1 if kind.startswith("hang") else 4 for kind in kinds]
        faults.append(Fault(stage, chance.choices(kinds, weights)[0]))
    return faults


def expected(faults: list[Fault | None]) -> tuple[State, int]:
    """What must come of the letter, worked out from the faults alone: its state and how often it arrived."""
    silent, arrived = 0, 0
    for fault in faults:
        assert fault is not None
        if fault.kind == "5xx":
            return (State.UNSURE if silent else State.FAILED), arrived
        if fault.stage == "END" and fault.kind != "4xx":
            silent += 1
            arrived += fault.keeps
            if silent == 2:
                return State.UNSURE, arrived
    return (State.UNSURE if silent else State.SENT), arrived + 1


def test_two_hundred_letters_through_random_faults_arrive_once_or_are_marked(tmp_path: Path) -> None:
    chance, clock = random.Random(20261103), Clock()
    silent_letters = 0
    with mail_server() as mailbox, warehouse.scratch() as connection:
        for number in range(200):
            faults, letter = random_faults(chance), queued(number)
            mailbox.faults = list(faults)
            outbox.queue(connection, tmp_path, f"report {number}", 1, [letter], clock.now)
            (outcome,) = settle(connection, tmp_path, mail_of(mailbox), clock)
            copies = mailbox.received(letter.message_id)
            assert (outcome.state, len(copies)) == expected(faults), faults
            assert [copy["X-Dunnage-Repeat"] for copy in copies][1:] in ([], ["possible"])
            if outcome.state is State.SENT:
                assert len(copies) == 1
                assert copies[0]["X-Dunnage-Repeat"] is None
            silent_letters += outcome.state is State.UNSURE
        assert silent_letters > 20
        left = {path.stem for path in tmp_path.iterdir()}
        assert left
        assert {state_of(connection, digest) for digest in left} == {"failed"}


def state_of(connection: warehouse.Connection, digest: str) -> str:
    return str(
        connection.execute("select state from outbox.messages where message_id like ?", [f"<{digest}@%"]).fetchall()[0][
            0
        ]
    )


def test_a_letter_is_queued_once_and_sent_once_however_often_a_run_is_repeated(tmp_path: Path) -> None:
    clock, letters = Clock(), [queued(1), queued(1, "other@fernmoor.example")]
    with mail_server() as mailbox, warehouse.scratch() as connection:
        for _ in range(3):
            outbox.queue(connection, tmp_path, "report", 1, letters, clock.now)
            outbox.send_due(connection, tmp_path, partial(delivery.deliver, mail_of(mailbox)), clock)
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


def test_a_failed_letter_can_be_queued_again_and_an_unsure_one_cannot(tmp_path: Path) -> None:
    clock = Clock()
    with mail_server() as mailbox, warehouse.scratch() as connection:
        mailbox.faults = [Fault("RCPT", "5xx"), Fault("END", "drop"), Fault("END", "drop")]
        for number in (1, 2):
            outbox.queue(connection, tmp_path, "report", number, [queued(number)], clock.now)
            settle(connection, tmp_path, mail_of(mailbox), clock)
        assert outbox.retry_failed(connection, clock.now) == 1
        (outcome,) = settle(connection, tmp_path, mail_of(mailbox), clock)
        assert outcome.state is State.SENT
        assert [letter["Message-ID"] for letter in mailbox.kept] == [queued(1).message_id]


def test_an_unreachable_server_is_asked_once_in_a_run(tmp_path: Path) -> None:
    asked: list[int] = []

    def refuse(mail: Mail) -> SMTP:
        asked.append(1)
        raise ConnectionRefusedError("nobody listens")

    with warehouse.scratch() as connection:
        outbox.queue(connection, tmp_path, "report", 1, [queued(n) for n in range(5)], START)
        hand_over = partial(delivery.deliver, Mail(host=HOST, sender=SENDER), connect=refuse)
        letters = outbox.send_due(connection, tmp_path, hand_over, Clock())
    assert len(asked) == 1
    assert [(letter.state, letter.attempts) for letter in letters] == [(State.QUEUED, 1)] * 5


def test_a_letter_whose_text_is_gone_fails_with_its_reason(tmp_path: Path) -> None:
    with mail_server() as mailbox, warehouse.scratch() as connection:
        outbox.queue(connection, tmp_path, "report", 1, [queued(1)], START)
        outbox.text_path(tmp_path, queued(1).message_id).unlink()
        (outcome,) = settle(connection, tmp_path, mail_of(mailbox), Clock())
    assert outcome.state is State.FAILED
    assert "is gone" in outcome.last_error
