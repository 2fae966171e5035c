"""Keeps book of scheduled runs: each is done once, and what a sleeping machine missed is made up once.

A run is known by its kind and its day on the shop's calendar, so a clock set back doubles none. A lock file that the
system lets go when a worker dies tells a run at work from one that was cut off; the latter is done again.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from models.errors import NotFoundError
from models.timetable import Due, Rule, latest, missed, open_runs, upcoming
from pipelines.shop import waiting, warehouse
from pipelines.shop.settings import Settings

# The state of the world when the shop's first schedule began: nothing before it counts as missed.
BEFORE = "before the first schedule"
DONE = "select kind from outbox.runs where kind = ? and due_on >= ? and finished_at is not null"
PATIENCE = timedelta(minutes=20)
# How late a run is when a check calls it overdue: longer than a review takes, and than a few attempts of a letter.
OVERDUE = timedelta(hours=2)


@dataclass
class Turn:
    """A run's turn. due: None where there is nothing to do. outcome: what the run says of itself when it is done.

    is_again: it was begun before and did not come to its end.
    """

    due: Due | None
    outcome: str = "done"
    is_again: bool = False


@dataclass(frozen=True)
class Absence:
    """Runs of one kind that nobody began at their time: how many, the first and the last of them."""

    kind: str
    count: int
    first: Due
    last: Due


@contextmanager
def patiently() -> Iterator[None]:
    """Within the block a writer waits twenty minutes for another one: nobody stands by to try again."""
    token = waiting.PATIENCE.set(PATIENCE.total_seconds())
    try:
        yield
    finally:
        waiting.PATIENCE.reset(token)


def rules(settings: Settings) -> tuple[Rule, ...]:
    """When each kind of run is due, in the order in which runs of one moment shall go: the backup first."""
    return (*settings.backup.rules, *settings.schedule.rules)


def begin(settings: Settings, now: datetime) -> None:
    """Mark what was due before a shop's first schedule, so that it is not made up. now: aware instant."""
    zone, known = ZoneInfo(settings.shop.time_zone), _known(settings)
    fresh = [latest(rule, now, zone) for rule in rules(settings) if rule.kind not in known]
    if not fresh:
        return
    with patiently(), warehouse.writing(settings, "schedule") as connection, warehouse.transaction(connection):
        for due in fresh:
            _start(connection, due, now)
            _finish(connection, due, now, BEFORE)


def due_runs(settings: Settings, now: datetime) -> list[Due]:
    """The runs to be made up: of each kind at most one, the last that was due."""
    return missed(rules(settings), _known(settings), now, ZoneInfo(settings.shop.time_zone))


def absences(settings: Settings, now: datetime) -> list[Absence]:
    """Kinds of run that nobody began at their time since the last one done, the first longer ago than the shop allows.

    A run that was begun and failed is no absence: somebody was there.
    """
    allowed = timedelta(hours=settings.schedule.alert_after_hours)
    begun = {(kind, day) for kind, day, _ in _book(settings)}
    found = []
    for rule in rules(settings):
        runs = [due for due in _open(settings, rule, now) if (due.kind, due.due_on) not in begun]
        if runs and now - runs[0].due_at > allowed:
            found.append(Absence(rule.kind, len(runs), runs[0], runs[-1]))
    return found


def overdue_runs(settings: Settings, now: datetime) -> list[Due]:
    """Of each kind the first run that was due after the last one done, where its time is two hours ago or more."""
    first = (next(iter(_open(settings, rule, now)), None) for rule in rules(settings))
    return [due for due in first if due and now - due.due_at >= OVERDUE]


def _open(settings: Settings, rule: Rule, now: datetime) -> list[Due]:
    done = _known(settings).get(rule.kind)
    return open_runs(rule, done, now, ZoneInfo(settings.shop.time_zone)) if done else []


def _known(settings: Settings) -> dict[str, date]:
    """The last run done of each kind."""
    done = sorted((kind, day) for kind, day, is_done in _book(settings) if is_done)
    return dict(done)


def _book(settings: Settings) -> list[tuple[str, date, bool]]:
    """Kind, day and whether it is done of each run, read without waiting for a writer; none before the first intake."""
    try:
        with warehouse.reading(settings) as connection:
            query = "select kind, due_on, finished_at is not null from outbox.runs"
            return connection.execute(query).fetchall() if warehouse.has_table(connection, "outbox.runs") else []
    except NotFoundError:
        return []


@contextmanager
def turn(settings: Settings, kind: str, now: datetime) -> Iterator[Turn]:
    """Take the turn of the last due run of this kind; without a due one where it is done, or at work elsewhere.

    The run counts as done when the block ends, as not done when it raises or the worker dies in it. Within the block
    writers wait for others.
    """
    with waiting.sole(settings.folder / f"schedule-{kind}.lock", 0) as is_ours, patiently():
        taken = _claimed(settings, _rule(settings, kind), now) if is_ours else Turn(None)
        yield taken
        if taken.due:
            _record_end(settings, taken.due, taken.outcome)


@contextmanager
def by_hand() -> Iterator[Turn]:
    """The turn of a run that somebody asks for outside the calendar: always to be done, and nobody keeps book of it."""
    with patiently():
        yield Turn(Due("by hand", date.min, datetime.min))


def _rule(settings: Settings, kind: str) -> Rule:
    return next(rule for rule in rules(settings) if rule.kind == kind)


def _claimed(settings: Settings, rule: Rule, now: datetime) -> Turn:
    due = latest(rule, now, ZoneInfo(settings.shop.time_zone))
    with warehouse.writing(settings, f"schedule ({rule.kind})") as connection:
        if connection.execute(DONE, [rule.kind, due.due_on]).fetchall():
            return Turn(None)
        with warehouse.transaction(connection):
            return Turn(due, is_again=_start(connection, due, now))


def _record_end(settings: Settings, due: Due, outcome: str) -> None:
    with warehouse.writing(settings, f"schedule ({due.kind})") as connection:
        _finish(connection, due, datetime.now(UTC), outcome)
    for mark in _reported_marks(settings, due.kind):
        mark.unlink(missing_ok=True)


def _start(connection: warehouse.Connection, due: Due, now: datetime) -> bool:
    """Whether the run had been begun before."""
    key = [due.kind, due.due_on]
    begun = connection.execute("delete from outbox.runs where kind = ? and due_on = ? returning kind", key).fetchall()
    connection.execute("insert into outbox.runs values (?, ?, ?, null, null)", [*key, _stored(now)])
    return bool(begun)


def _finish(connection: warehouse.Connection, due: Due, now: datetime, outcome: str) -> None:
    connection.execute(
        "update outbox.runs set finished_at = ?, outcome = ? where kind = ? and due_on = ?",
        [_stored(now), outcome, due.kind, due.due_on],
    )


def _stored(now: datetime) -> datetime:
    return now.astimezone(UTC).replace(tzinfo=None)


def next_runs(settings: Settings, now: datetime) -> list[Due]:
    """The next run of each kind after `now`, the soonest first."""
    zone = ZoneInfo(settings.shop.time_zone)
    return sorted((upcoming(rule, now, zone) for rule in rules(settings)), key=lambda due: due.due_at)


def is_reported(settings: Settings, kind: str, now: datetime) -> bool:
    """Whether the owner knows already that the last due run of this kind does not succeed. Needs no warehouse."""
    noted = [mark.read_text(encoding="utf-8") for mark in _reported_marks(settings, kind) if mark.exists()]
    return _reported_text(settings, kind, now) in noted


def note_reported(settings: Settings, kind: str, now: datetime) -> None:
    """Remember that the owner knows, until the run succeeds: each further attempt is not worth a letter."""
    _reported_marks(settings, kind)[0].write_text(_reported_text(settings, kind, now), encoding="utf-8")


def _reported_marks(settings: Settings, kind: str) -> list[Path]:
    """The file that says which failed run the owner knows of, and the name that it had once."""
    return [settings.folder / f"schedule-{kind}{ending}" for ending in (".reported", ".told")]


def _reported_text(settings: Settings, kind: str, now: datetime) -> str:
    """The day of the last due run; of what has no rule, as letters that wait, the present day."""
    zone = ZoneInfo(settings.shop.time_zone)
    found = [latest(rule, now, zone).due_on for rule in rules(settings) if rule.kind == kind]
    return (found or [now.astimezone(zone).date()])[0].isoformat()
