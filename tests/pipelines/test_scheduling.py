"""The book of scheduled runs: each once, a missed one made up once, a cut-off one done again."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from models.errors import WarehouseBusyError
from pipelines import scheduling, warehouse
from pipelines.settings import Settings
from tests.pipelines.small_shop import small_shop

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


def test_a_busy_warehouse_is_waited_for(shop: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    waits: list[float] = []
    with warehouse.writing(shop, "intake") as _:
        monkeypatch.setattr("pipelines.scheduling.time.sleep", waits.append)
        ticks = iter([0.0, 100.0, 1_000.0, 2_000.0])
        monkeypatch.setattr("pipelines.scheduling.time.monotonic", lambda: next(ticks))
        with pytest.raises(WarehouseBusyError), scheduling.writing_in_turn(shop, "schedule"):
            raise AssertionError("never reached")
    assert len(waits) == 2
