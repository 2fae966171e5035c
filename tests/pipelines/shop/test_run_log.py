"""The book of scheduled runs: each once, a missed one made up once, a cut-off one done again."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from models.errors import WarehouseBusyError
from models.settings.backup import Backups
from models.timetable import Due
from pipelines.cli import main
from pipelines.commands import schedule
from pipelines.delivery import outbox, owner_letters, reports
from pipelines.shop import run_log, warehouse
from pipelines.shop.run_log import Absence
from pipelines.shop.settings import Settings
from tests.pipelines.delivery.letters import queued
from tests.pipelines.delivery.mailbox import mail_server
from tests.pipelines.served import HANGS
from tests.pipelines.small_shop import small_shop, with_mail

NOW = datetime(2026, 11, 12, 15, 0, tzinfo=UTC)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Settings]:
    yield small_shop(tmp_path)


def test_before_the_first_schedule_nothing_was_missed(shop: Settings) -> None:
    run_log.begin(shop, NOW)
    assert run_log.due_runs(shop, NOW) == []
    with run_log.turn(shop, "intake", NOW) as taken:
        assert taken.due is None


def test_a_run_is_done_once_and_what_was_missed_is_made_up_once(shop: Settings) -> None:
    run_log.begin(shop, NOW)
    later = datetime(2026, 12, 3, 15, 0, tzinfo=UTC)
    missed = run_log.due_runs(shop, later)
    assert [(due.kind, due.due_on) for due in missed] == [
        ("intake", date(2026, 12, 3)),
        ("watch", date(2026, 11, 30)),
        ("review", date(2026, 12, 1)),
    ]
    for due in missed:
        with run_log.turn(shop, due.kind, later) as taken:
            assert taken.due == due
        with run_log.turn(shop, due.kind, later) as taken:
            assert taken.due is None
    assert run_log.due_runs(shop, later) == []


def test_a_run_that_fails_is_still_due(shop: Settings) -> None:
    with pytest.raises(RuntimeError), run_log.turn(shop, "review", NOW):
        raise RuntimeError("the printer is on fire")
    with run_log.turn(shop, "review", NOW) as taken:
        assert taken.due is not None


def test_the_hour_that_comes_twice_runs_once(shop: Settings) -> None:
    first, second = (datetime(2026, 11, 1, hour, 0, tzinfo=UTC) for hour in (5, 6))  # 01:00 twice in New York
    with run_log.turn(shop, "intake", first) as taken:
        assert taken.due
        assert taken.due.due_on == date(2026, 11, 1)
    with run_log.turn(shop, "intake", second) as taken:
        assert taken.due is None


HOLDER = """
import datetime, pathlib, sys
from pipelines.shop import run_log
from pipelines.shop.settings import load
now = datetime.datetime(2026, 11, 12, 15, tzinfo=datetime.UTC)
with run_log.turn(load(pathlib.Path(sys.argv[1])), "intake", now):
    print("at work", flush=True); sys.stdin.readline()
"""


def test_a_run_at_work_is_left_alone_and_a_killed_one_done_again(shop: Settings) -> None:
    worker = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(shop.folder)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    assert worker.stdout
    assert worker.stdout.readline() == b"at work\n"
    with run_log.turn(shop, "intake", NOW) as taken:
        assert taken.due is None
    worker.kill()
    worker.communicate(timeout=HANGS)
    with run_log.turn(shop, "intake", NOW) as taken:
        assert taken.due is not None
    with warehouse.reading(shop) as connection:
        rows = connection.execute("select kind, finished_at is not null from outbox.runs").fetchall()
    assert rows == [("intake", True)]


def test_from_a_timer_what_waits_is_sent_and_nothing_else_is_done(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--shop", str(with_mail(tmp_path).folder), "schedule", "--once"]) == 0  # nothing was ever imported
    with mail_server() as mailbox:
        shop = small_shop(tmp_path, mailbox)
        with warehouse.writing(shop, "test") as connection:
            outbox.queue(connection, shop.path("outbox"), "report", 1, [queued(1)], datetime(2026, 1, 1))
        for _ in range(2):
            assert main(["--shop", str(shop.folder), "schedule", "--once"]) == 0
        assert len(mailbox.received(queued(1).message_id)) == 1
    assert "made up" not in capsys.readouterr().out


def test_a_busy_warehouse_is_waited_for(shop: Settings) -> None:
    """The waiting writer gets the lock when the other one lets it go, without an error."""
    asked, let_go = threading.Event(), threading.Event()

    def hold() -> None:
        with warehouse.held(shop, "intake"):
            asked.set()
            let_go.wait()

    holder = threading.Thread(target=hold)
    holder.start()
    asked.wait()
    with pytest.raises(WarehouseBusyError), warehouse.held(shop, "review"):
        raise AssertionError("a person is told at once")
    threading.Timer(0.2, let_go.set).start()
    with run_log.patiently(), warehouse.held(shop, "review"):
        assert let_go.is_set()
    holder.join()


def test_runs_that_nobody_began_are_reported_once_and_not_what_merely_failed(tmp_path: Path) -> None:
    with mail_server() as mailbox:
        shop = small_shop(tmp_path, mailbox)
        run_log.begin(shop, NOW)
        later = datetime(2026, 11, 16, 15, 0, tzinfo=UTC)
        assert run_log.absences(shop, NOW + timedelta(hours=23)) == []
        with pytest.raises(RuntimeError), run_log.turn(shop, "watch", later):
            raise RuntimeError("the printer is on fire")
        found = run_log.absences(shop, later)
        assert [(each.kind, each.count, each.first.due_on, each.last.due_on) for each in found] == [
            ("intake", 4, date(2026, 11, 13), date(2026, 11, 16))
        ]
        backups = Absence(
            "backup", 1, Due("backup", date(2026, 11, 14), later), Due("backup", date(2026, 11, 14), later)
        )
        # The second time as after a kill: what was made up meanwhile is no absence any more.
        for absences in ([*found, backups], found, [backups]):
            owner_letters.mail_absences(shop, absences)
            reports.send_waiting(shop)
        (letter,) = mailbox.kept
        assert letter["To"] == "owner@fernmoor.example"
        text = str(letter.get_payload(decode=True) or letter.as_string())
        assert "4 runs were not begun at the time (2026-11-13 to 2026-11-16)." in text
        assert owner_letters.MADE_UP[:40] in text


def test_what_hinders_the_letter_about_an_absence_hinders_no_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop, done = small_shop(tmp_path), list[str]()
    run_log.begin(shop, datetime.now(UTC) - timedelta(days=40))

    def hindered(settings: Settings, absences: Sequence[Absence]) -> None:
        done.append(f"letter about {len(absences)}")
        if len(done) == 1:
            raise WarehouseBusyError("the warehouse", "is being written", "this command", "wait")

    def made_up(shop: Settings, due_runs: Sequence[Due]) -> list[Due]:
        done.append(f"{len(due_runs)} runs")
        return []

    monkeypatch.setattr(owner_letters, "mail_absences", hindered)
    monkeypatch.setattr(schedule, "_made_up", made_up)
    assert main(["--shop", str(shop.folder), "schedule", "--once"]) == 0
    assert done == ["letter about 3", "3 runs", "letter about 3"]


def test_a_failing_run_is_reported_once_until_it_succeeds(shop: Settings) -> None:
    assert not run_log.is_reported(shop, "intake", NOW)
    run_log.note_reported(shop, "intake", NOW)
    assert run_log.is_reported(shop, "intake", NOW + timedelta(hours=1))
    assert not run_log.is_reported(shop, "intake", NOW + timedelta(days=1))
    with run_log.turn(shop, "intake", NOW) as taken:
        assert not taken.is_again
    assert not run_log.is_reported(shop, "intake", NOW)


def test_a_run_begun_before_says_so(shop: Settings) -> None:
    with pytest.raises(RuntimeError), run_log.turn(shop, "review", NOW):
        raise RuntimeError("the printer is on fire")
    with run_log.turn(shop, "review", NOW) as taken:
        assert taken.is_again


def test_a_check_fails_where_a_run_or_a_letter_is_overdue(shop: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    check = ["--shop", str(shop.folder), "status", "--check"]
    now = datetime.now(UTC)
    run_log.begin(shop, now)
    assert main(check) == 0
    assert capsys.readouterr().out == "Nothing is overdue.\n"
    with warehouse.writing(shop, "test") as connection:
        connection.execute("update outbox.runs set due_on = due_on - 3 where kind = 'intake'")

        outbox.queue(connection, shop.path("outbox"), "report", 1, [queued(1)], now.replace(tzinfo=None))
    assert main(check) == 1
    assert [line.split(":")[0] for line in capsys.readouterr().out.splitlines()] == ["intake"]
    with warehouse.writing(shop, "test") as connection:
        connection.execute("update outbox.messages set next_attempt_at = next_attempt_at - interval 3 hour")
    assert main(check) == 1
    assert "letter report, edition 1" in capsys.readouterr().out


def test_a_letter_whose_time_has_come_and_a_broken_setting_are_work_for_the_schedule(tmp_path: Path) -> None:
    with mail_server() as mailbox:
        shop = small_shop(tmp_path, mailbox)
        run_log.begin(shop, datetime.now(UTC))
        assert schedule._work(shop.folder) == set()
        with warehouse.writing(shop, "test") as connection:
            outbox.queue(connection, shop.path("outbox"), "report", 1, [queued(1)], datetime(2026, 1, 1))
        assert [due.kind for due in schedule._work(shop.folder)] == ["letters"]
        assert main(["--shop", str(shop.folder), "schedule", "--once"]) == 0
        assert schedule._work(shop.folder) == set()
    (shop.folder / "dunnage.toml").write_text("[shop", encoding="utf-8")
    (unknown,) = schedule._work(shop.folder)
    assert "is not valid TOML" in unknown.kind


def test_a_scheduled_backup_is_a_run_like_the_others(shop: Settings) -> None:
    with_backups = replace(shop, backup=Backups(when="daily"))
    run_log.begin(with_backups, NOW)
    assert [due.kind for due in run_log.overdue_runs(with_backups, NOW + timedelta(days=1))] == ["backup", "intake"]
    assert "backup" in [each.kind for each in run_log.absences(with_backups, NOW + timedelta(days=2))]
