"""Keeps book of scheduled runs: each is done once, and what a sleeping machine missed is made up once.

A run is known by its kind and its day on the shop's calendar, so a clock set back doubles none. A lock file that the
system lets go when a worker dies tells a run at work from one that was cut off; the latter is done again.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from filelock import FileLock, Timeout

from models.errors import NotFoundError, WarehouseBusyError
from models.timetable import Due, Rule, latest, missed, upcoming
from pipelines import warehouse
from pipelines.settings import Settings

# The state of the world when the shop's first schedule began: nothing before it counts as missed.
BEFORE = "before the first schedule"


@dataclass
class Turn:
    """A run's turn. due: None where there is nothing to do. outcome: what the run says of itself when it is done."""

    due: Due | None
    outcome: str = "done"


PATIENCE = timedelta(minutes=20)
PAUSE_SECONDS = 5.0


@contextmanager
def writing_in_turn(settings: Settings, command: str) -> Iterator[warehouse.Connection]:
    """The warehouse, waited for where another command is writing: nobody stands by to try again.

    Raises WarehouseBusyError after twenty minutes.
    """
    until = time.monotonic() + PATIENCE.total_seconds()
    with ExitStack() as stack:
        connection = None
        while connection is None:
            try:
                connection = stack.enter_context(warehouse.writing(settings, command))
            except WarehouseBusyError:
                if time.monotonic() > until:
                    raise
                time.sleep(PAUSE_SECONDS)
        yield connection


def rules(settings: Settings) -> tuple[Rule, ...]:
    """When each kind of run is due, in the order in which runs of one moment shall go: the backup first."""
    return (*settings.backup.rules, *settings.schedule.rules)


def begin(settings: Settings, now: datetime) -> None:
    """Mark what was due before a shop's first schedule, so that it is not made up. now: aware instant."""
    zone, known = ZoneInfo(settings.shop.time_zone), _known(settings)
    fresh = [latest(rule, now, zone) for rule in rules(settings) if rule.kind not in known]
    if not fresh:
        return
    with writing_in_turn(settings, "schedule") as connection, warehouse.transaction(connection):
        for due in fresh:
            _start(connection, due, now)
            _finish(connection, due, now, BEFORE)


def due_runs(settings: Settings, now: datetime) -> list[Due]:
    """The runs to be made up: of each kind at most one, the last that was due."""
    return missed(rules(settings), _known(settings), now, ZoneInfo(settings.shop.time_zone))


def _known(settings: Settings) -> dict[str, date]:
    """The last run done of each kind, read without waiting for a writer; none in a shop that never landed anything."""
    try:
        with warehouse.reading(settings) as connection:
            stands = connection.execute(
                "select count(*) from information_schema.tables where table_schema = 'outbox' and table_name = 'runs'"
            ).fetchall()
            return _done(connection) if stands[0][0] else {}
    except NotFoundError:
        return {}


@contextmanager
def turn(settings: Settings, kind: str, now: datetime) -> Iterator[Turn]:
    """Take the turn of the last due run of this kind; without a due one where it is done, or at work elsewhere.

    The run counts as done when the block ends, as not done when it raises or the worker dies in it.
    """
    lock = FileLock(settings.folder / f"schedule-{kind}.lock", timeout=0, mode=0o600)
    try:
        lock.acquire()
    except Timeout:
        yield Turn(None)
        return
    try:
        taken = Turn(_claimed(settings, _rule(settings, kind), now))
        yield taken
        if taken.due:
            _record_end(settings, taken.due, taken.outcome)
    finally:
        lock.release()


def _rule(settings: Settings, kind: str) -> Rule:
    return next(rule for rule in rules(settings) if rule.kind == kind)


def _claimed(settings: Settings, rule: Rule, now: datetime) -> Due | None:
    due = latest(rule, now, ZoneInfo(settings.shop.time_zone))
    with writing_in_turn(settings, f"schedule ({rule.kind})") as connection:
        done = _done(connection).get(rule.kind)
        if done is not None and done >= due.due_on:
            return None
        with warehouse.transaction(connection):
            _start(connection, due, now)
    return due


def _record_end(settings: Settings, due: Due, outcome: str) -> None:
    with writing_in_turn(settings, f"schedule ({due.kind})") as connection:
        _finish(connection, due, datetime.now(UTC), outcome)


def _start(connection: warehouse.Connection, due: Due, now: datetime) -> None:
    key = [due.kind, due.due_on]
    connection.execute("delete from outbox.runs where kind = ? and due_on = ?", key)
    connection.execute("insert into outbox.runs values (?, ?, ?, null, null)", [*key, _stored(now)])


def _finish(connection: warehouse.Connection, due: Due, now: datetime, outcome: str) -> None:
    connection.execute(
        "update outbox.runs set finished_at = ?, outcome = ? where kind = ? and due_on = ?",
        [_stored(now), outcome, due.kind, due.due_on],
    )


def _stored(now: datetime) -> datetime:
    return now.astimezone(UTC).replace(tzinfo=None)


def _done(connection: warehouse.Connection) -> dict[str, date]:
    return dict(
        connection.execute(
            "select kind, max(due_on) from outbox.runs where finished_at is not null group by kind"
        ).fetchall()
    )


def next_runs(settings: Settings, now: datetime) -> list[Due]:
    """The next run of each kind after `now`, the soonest first."""
    zone = ZoneInfo(settings.shop.time_zone)
    return sorted((upcoming(rule, now, zone) for rule in rules(settings)), key=lambda due: due.due_at)
