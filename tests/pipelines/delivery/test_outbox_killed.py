"""Senders that die, and senders that meet: no letter goes out twice, and the warehouse is free while they talk."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path

import pytest

from models.delivery_attempts import State
from models.sql_texts import sql_texts
from pipelines import delivery
from pipelines.delivery import outbox, reports
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.pipelines.delivery.letters import START, Clock, Served, letters_kept, mail_of, queued, send_due
from tests.pipelines.delivery.mailbox import Fault, mail_server
from tests.pipelines.delivery.odd_mailbox import OddMailbox, odd_mail_server
from tests.pipelines.served import HANGS

SHOP = """
[mail]
host = "127.0.0.1"
port = {port}
security = "none"
sender = "reports@fernmoor.example"
recipients = ["packer@fernmoor.example"]
timeout_seconds = 60
"""
# The worker says its process number and waits until the mail server knows whom to kill.
WORKER = """
import os, pathlib, sys
from pipelines.delivery import reports
from pipelines.shop.settings import load
print(os.getpid(), flush=True); sys.stdin.readline()
reports.send_waiting(load(pathlib.Path(sys.argv[1])))
"""


@pytest.fixture
def shop(tmp_path: Path) -> Callable[[Served], Path]:
    """A shop's folder with one letter queued."""

    def made(mailbox: Served) -> Path:
        (tmp_path / "dunnage.toml").write_text(SHOP.format(port=mailbox.port), encoding="utf-8")
        settings = load(tmp_path)
        with warehouse.writing(settings, "test") as connection:
            outbox.queue(connection, settings.path("outbox"), "report", 1, [queued(1)], START)
        return tmp_path

    return made


@pytest.mark.slow
@pytest.mark.parametrize(
    ("fault", "state", "arrived"),
    [
        (Fault("RCPT", "kill"), State.SENT, 1),
        (Fault("TEXT", "kill"), State.SENT, 1),
        (Fault("END", "kill"), State.UNSURE, 0),
        (Fault("END", "kill after keeping"), State.UNSURE, 1),
    ],
)
def test_a_process_killed_while_it_sends(
    shop: Callable[[Served], Path], fault: Fault, state: State, arrived: int
) -> None:
    with mail_server() as mailbox:
        folder = shop(mailbox)
        mailbox.faults = [fault]
        worker = subprocess.Popen(
            [sys.executable, "-c", WORKER, str(folder)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=os.environ
        )
        assert worker.stdin and worker.stdout
        mailbox.victim = int(worker.stdout.readline())
        worker.communicate(b"go\n", timeout=HANGS)
        assert worker.returncode == -9
        with warehouse.writing(load(folder), "test") as connection:
            clock = Clock()
            clock.now = datetime.now() + timedelta(days=1)
            for _ in range(2):
                send_due(connection, folder / "outbox", partial(delivery.deliver, mail_of(mailbox)), clock)
                clock.now += timedelta(days=1)
            assert letters_kept(connection) == [state.value]
        assert len(mailbox.received(queued(1).message_id)) == arrived


def test_the_warehouse_is_free_while_a_server_talks_and_two_senders_send_each_letter_once(
    shop: Callable[[Served], Path],
) -> None:
    with odd_mail_server(OddMailbox(gate=threading.Event())) as mailbox, ThreadPoolExecutor() as senders:
        assert mailbox.gate
        settings = load(shop(mailbox))
        first = senders.submit(reports.send_waiting, settings)
        assert mailbox.reached.wait(60)
        with warehouse.writing(settings, "intake") as connection:
            assert letters_kept(connection) == ["sending"]
            outbox.queue(connection, settings.path("outbox"), "report", 2, [queued(2)], START)
        second = senders.submit(reports.send_waiting, settings)
        mailbox.gate.set()
        outcome = [letter for sender in (first, second) for letter in sender.result().letters]
    assert {letter.message_id: letter.state for letter in outcome} == dict.fromkeys(mailbox.kept, State.SENT)
    assert mailbox.kept == {queued(1).message_id: 1, queued(2).message_id: 1}


def test_a_sender_that_waits_too_long_for_another_leaves_its_letters(shop: Callable[[Served], Path]) -> None:
    with odd_mail_server() as mailbox:
        settings = load(shop(mailbox))
        hasty = replace(settings, mail=replace(settings.mail, timeout_seconds=0.1))
        with outbox.sole_sender(settings.folder, 0.0) as is_alone:
            assert is_alone
            assert not reports.send_waiting(hasty).is_alone
            assert mailbox.talks == 0
        assert [letter.state for letter in reports.send_waiting(settings).letters] == [State.SENT]


def test_an_answer_that_was_noted_before_the_sender_died_counts(shop: Callable[[Served], Path]) -> None:
    """It died, or found no turn at the warehouse, between the server's answer and the warehouse's row."""
    with odd_mail_server() as mailbox:
        settings = load(shop(mailbox))
        folder = settings.path("outbox")
        with warehouse.writing(settings, "test") as connection:
            due = outbox.claim_due(connection, folder, Clock()())
        outbox.hand_over(folder, due, partial(delivery.deliver, settings.mail))
        assert [letter.state for letter in reports.send_waiting(settings).letters] == [State.SENT]
        assert mailbox.kept == {queued(1).message_id: 1}
    assert list(folder.iterdir()) == []


def test_a_torn_note_leaves_the_letter_unsure(tmp_path: Path) -> None:
    with warehouse.scratch() as connection:
        outbox.queue(connection, tmp_path, "report", 1, [queued(1)], START)
        (due,) = outbox.claim_due(connection, tmp_path, START)
        outbox.text_path(tmp_path, due.message_id).with_suffix(".answer").write_bytes(b'{"reply": "acc')
        assert [letter.state for letter in outbox.settle(connection, tmp_path, START)] == [State.UNSURE]


def test_letters_that_an_older_version_left_open_are_unsure() -> None:
    """It sent such letters a second time by itself."""
    with warehouse.scratch() as connection:
        for name, state, count in (("cut off", "sending", 0), ("to repeat", "queued", 1), ("new", "queued", 0)):
            connection.execute(
                "insert into outbox.messages values (?, 'report', 1, 'a@b.example', ?, 1, ?, ?, ?, null, '', false)",
                [name, state, count, START, START],
            )
        connection.execute(sql_texts("migrations")["006_unsure"])
        found = connection.execute("select message_id, state, unanswered_count from outbox.messages order by 1")
        assert found.fetchall() == [("cut off", "unsure", 1), ("new", "queued", 0), ("to repeat", "unsure", 1)]
