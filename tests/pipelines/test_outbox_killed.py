"""A process that is killed while it sends: its letter is sent once more at most, and marked."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path

import pytest

from models.mailing import State
from pipelines import delivery, outbox, warehouse
from pipelines.settings import load
from tests.pipelines.letters import START, Clock, mail_of, queued
from tests.pipelines.mailbox import Fault, Mailbox, mail_server

SHOP = """
[mail]
host = "127.0.0.1"
port = {port}
security = "none"
sender = "reports@fernmoor.example"
recipients = ["packer@fernmoor.example"]
timeout_seconds = 2
"""
# The worker says its process number and waits until the mail server knows whom to kill.
WORKER = """
import os, pathlib, sys
from pipelines import reports
from pipelines.settings import load
print(os.getpid(), flush=True); sys.stdin.readline()
reports.send_waiting(load(pathlib.Path(sys.argv[1])))
"""


@pytest.fixture
def shop(tmp_path: Path) -> Callable[[Mailbox], Path]:
    """A shop's folder with one letter queued."""

    def made(mailbox: Mailbox) -> Path:
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
        (Fault("END", "kill"), State.UNSURE, 1),
        (Fault("END", "kill after keeping"), State.UNSURE, 2),
    ],
)
def test_a_process_killed_while_it_sends(
    shop: Callable[[Mailbox], Path], fault: Fault, state: State, arrived: int
) -> None:
    with mail_server() as mailbox:
        folder = shop(mailbox)
        mailbox.faults = [fault]
        worker = subprocess.Popen(
            [sys.executable, "-c", WORKER, str(folder)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=os.environ
        )
        assert worker.stdin and worker.stdout
        mailbox.victim = int(worker.stdout.readline())
        worker.communicate(b"go\n", timeout=60)
        assert worker.returncode == -9
        with warehouse.writing(load(folder), "test") as connection:
            clock = Clock()
            clock.now = datetime.now() + timedelta(days=1)
            outbox.send_due(connection, folder / "outbox", partial(delivery.deliver, mail_of(mailbox)), clock)
            clock.now += timedelta(days=1)
            outbox.send_due(connection, folder / "outbox", partial(delivery.deliver, mail_of(mailbox)), clock)
            assert outbox.listed(connection)["state"].tolist() == [state.value]
        copies = mailbox.received(queued(1).message_id)
        assert len(copies) == arrived
        assert [copy["X-Dunnage-Repeat"] for copy in copies][-1:] == ([None] if state is State.SENT else ["possible"])
