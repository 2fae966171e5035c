"""The book of scheduled runs: each once, a missed one made up once, a cut-off one done again."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from models.errors import WarehouseBusyError
from pipelines import outbox, scheduling, warehouse
from pipelines.cli import main
from pipelines.settings import Settings
from tests.pipelines.letters import queued
from tests.pipelines.mailbox import mail_server
from tests.pipelines.small_shop import small_shop, with_mail

NOW = datetime(2026, 11, 12, 15, 0, tzinfo=UTC)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Settings]:
    yield small_shop(tmp_path)


def test_before_the_first_schedule_nothing_was_missed(shop: Settings) -> None:
    scheduling.begin(shop, NOW)
    assert scheduling.due_runs(shop, NOW) == []
    with scheduling.turn(shop, "intake", NOW) as taken:
        assert taken.due is None


def test_a_run_is_done_once_and_what_was_missed_is_made_up_once(shop: Settings) -> None:
    scheduling.begin(shop, NOW)
    later = datetime(2026, 12, 3, 15, 0, tzinfo=UTC)
    missed = scheduling.due_runs(shop, later)
    assert [(due.kind, due.due_on) for due in missed] == [
        ("intake", date(2026, 12, 3)),
        ("watch", date(2026, 11, 30)),
        ("review", date(2026, 12, 1)),
    ]
    for due in missed:
        with scheduling.turn(shop, due.kind, later) as taken:
            assert taken.due == due
        with scheduling.turn(shop, due.kind, later) as taken:
            assert taken.due is None
    assert scheduling.due_runs(shop, later) == []


def test_a_run_that_fails_is_still_due(shop: Settings) -> None:
    with pytest.raises(RuntimeError), scheduling.turn(shop, "review", NOW):
        raise RuntimeError("the printer is on fire")
    with scheduling.turn(shop, "review", NOW) as taken:
        assert taken.due is not None


def test_the_hour_that_comes_twice_runs_once(shop: Settings) -> None:
    first, second = (datetime(2026, 11, 1, hour, 0, tzinfo=UTC) for hour in (5, 6))  # 01:00 twice in New York
    with scheduling.turn(shop, "intake", first) as taken:
        assert taken.due
        assert taken.due.due_on == date(2026, 11, 1)
    with scheduling.turn(shop, "intake", second) as taken:
        assert taken.due is None


HOLDER = """
import datetime, pathlib, sys
from pipelines import scheduling
from pipelines.settings import load
now = datetime.datetime(2026, 11, 12, 15, tzinfo=datetime.UTC)
with scheduling.turn(load(pathlib.Path(sys.argv[1])), "intake", now):
    print("at work", flush=True); sys.stdin.readline()
"""


def test_a_run_at_work_is_left_alone_and_a_killed_one_done_again(shop: Settings) -> None:
    worker = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(shop.folder)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    assert worker.stdout
    assert worker.stdout.readline() == b"at work\n"
    with scheduling.turn(shop, "intake", NOW) as taken:
        assert taken.due is None
    worker.kill()
    worker.communicate(timeout=20)
    with scheduling.turn(shop, "intake", NOW) as taken:
        assert taken.due is not None
    with warehouse.reading(shop) as connection:
        rows = connection.execute("select kind, finished_at is not null from outbox.runs").fetchall()
    assert rows == [("intake", True)]


def test_from_a_timer_what_waits_is_sent_and_nothing_else_is_done(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--shop", str(with_mail(tmp_path).folder), "schedule", "--once"]) == 0  # nothing was ever landed
    with mail_server() as mailbox:
        shop = small_shop(tmp_path, mailbox)
        with warehouse.writing(shop, "test") as connection:
            outbox.queue(connection, shop.path("outbox"), "report", 1, [queued(1)], datetime(2026, 1, 1))
        for _ in range(2):
            assert main(["--shop", str(shop.folder), "schedule", "--once"]) == 0
        assert len(mailbox.received(queued(1).message_id)) == 1
    assert "made up" not in capsys.readouterr().out


@pytest.mark.slow
def test_what_was_missed_is_made_up_when_the_schedule_starts(tmp_path: Path) -> None:
    shop = small_shop(tmp_path)
    now = datetime.now(UTC)
    scheduling.begin(shop, now - timedelta(days=40))
    for kind in ("watch", "review"):
        with scheduling.turn(shop, kind, now):
            pass
    command = [sys.executable, "-c", "from pipelines.cli import main; main()", "--shop", str(shop.folder)]
    environment = {name: text for name, text in os.environ.items() if name != "PREFECT_API_URL"}
    told = [
        subprocess.run([*command, "schedule", "--once"], capture_output=True, text=True, timeout=200, env=environment)
        for _ in range(2)
    ]
    assert [each.stdout.count("to be made up: intake") for each in told] == [1, 0], told[0].stderr
    assert [due.kind for due in scheduling.due_runs(shop, now)] == []
    with warehouse.reading(shop) as connection:
        rows = connection.execute("select count(*) from outbox.runs where kind = 'intake' and outcome = 'done'")
        assert rows.fetchall() == [(1,)]


def test_a_busy_warehouse_is_waited_for(shop: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    waits: list[float] = []
    with warehouse.writing(shop, "intake") as _:
        monkeypatch.setattr("pipelines.scheduling.time.sleep", waits.append)
        ticks = iter([0.0, 100.0, 1_000.0, 2_000.0])
        monkeypatch.setattr("pipelines.scheduling.time.monotonic", lambda: next(ticks))
        with pytest.raises(WarehouseBusyError), scheduling.writing_in_turn(shop, "schedule"):
            raise AssertionError("never reached")
    assert len(waits) == 2
