"""When the shop's runs are due, by the clock on its wall: daylight saving moves none and doubles none."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Annotated, ClassVar
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, Field

from models.settings.types import RefusedError, Section, nearest

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
# Every month has these days.
LAST_SAFE_DAY = 28
LONGEST_LIMIT_HOURS = 24 * 7


def _time(text: str) -> time:
    return datetime.strptime(text, "%H:%M").time()


def _clock(text: str) -> str:
    try:
        _time(text)
    except ValueError:
        raise RefusedError("is not a time of day", 'write it as "06:30", from 00:00 to 23:59') from None
    return text


def _weekday(word: str) -> str:
    if word.lower() not in WEEKDAYS:
        raise RefusedError("is not a weekday", nearest(word, WEEKDAYS))
    return word


Clock = Annotated[str, AfterValidator(_clock)]
Weekday = Annotated[str, AfterValidator(_weekday)]


@dataclass(frozen=True)
class Rule:
    """When a kind of run is due: `at` a time every day, on one weekday (0 Monday) or on one day of the month."""

    kind: str
    at: time
    weekday: int | None = None
    month_day: int | None = None

    def falls_on(self, day: date) -> bool:
        """Whether a run is due on that day."""
        if self.month_day is not None:
            return day.day == self.month_day
        return self.weekday is None or day.weekday() == self.weekday


@dataclass(frozen=True)
class Schedule(Section):
    """The section [schedule]: wall-clock times of the shop's time zone, as 06:30. Its review day is in every month.

    alert_after_hours: the owner hears of a run that was not begun for so long after its time. end_after_hours: what is
    due at one moment is done together; where it is not over after so long, it hangs: it is ended and done again.
    """

    affected: ClassVar[str] = "scheduled runs"

    intake_at: Clock = "06:00"
    watch_day: Weekday = "monday"
    watch_at: Clock = "06:30"
    review_day: Annotated[int, Field(ge=1, le=LAST_SAFE_DAY)] = 5
    review_at: Clock = "07:00"
    alert_after_hours: Annotated[int, Field(ge=1)] = 24
    end_after_hours: Annotated[float, Field(gt=0, le=LONGEST_LIMIT_HOURS)] = 6.0

    @property
    def end_after_seconds(self) -> float:
        """The limit of a run in seconds."""
        return self.end_after_hours * 3600

    @property
    def rules(self) -> tuple[Rule, ...]:
        """The three rules, in the order in which runs of one moment shall go. Raises ValueError for a wrong time."""
        return (
            Rule("intake", _time(self.intake_at)),
            Rule("watch", _time(self.watch_at), weekday=WEEKDAYS.index(self.watch_day.lower())),
            Rule("review", _time(self.review_at), month_day=self.review_day),
        )


@dataclass(frozen=True)
class Due:
    """One run that is due: kind, its day on the shop's calendar, and the instant in UTC."""

    kind: str
    due_on: date
    due_at: datetime


def instant(day: date, at: time, zone: ZoneInfo) -> datetime:
    """The instant, in UTC, of a wall-clock time.

    A time that the clock shows twice is the first of the two; one that it skips is as much later as the clock jumps.
    """
    return datetime.combine(day, at, zone).replace(fold=0).astimezone(UTC)


def latest(rule: Rule, now: datetime, zone: ZoneInfo) -> Due:
    """The last run that was due at `now` (an aware instant) or before."""
    return next(due for due in _dues(rule, now, zone, step=-1) if due.due_at <= now)


def upcoming(rule: Rule, now: datetime, zone: ZoneInfo) -> Due:
    """The first run that is due after `now`."""
    return next(due for due in _dues(rule, now, zone, step=1) if due.due_at > now)


def _dues(rule: Rule, now: datetime, zone: ZoneInfo, step: int) -> Iterator[Due]:
    day = now.astimezone(zone).date() - timedelta(days=step)
    while True:
        if rule.falls_on(day):
            yield Due(rule.kind, day, instant(day, rule.at, zone))
        day += timedelta(days=step)


def open_runs(rule: Rule, done: date, now: datetime, zone: ZoneInfo) -> list[Due]:
    """Every run that was due after the day `done`, and at `now` or before; the earliest first."""
    days = (now.astimezone(zone).date() - done).days
    dues = (Due(rule.kind, day, instant(day, rule.at, zone)) for day in _after(done, days) if rule.falls_on(day))
    return [due for due in dues if due.due_at <= now]


def _after(day: date, count: int) -> Iterator[date]:
    return (day + timedelta(days=number) for number in range(1, count + 1))


def missed(rules: tuple[Rule, ...], done: Mapping[str, date], now: datetime, zone: ZoneInfo) -> list[Due]:
    """Runs to be made up at `now`: of each kind the last one due, where it was not done. Never more than one of a kind.

    done: kind -> day of the last run done. A kind that is not in it has missed nothing yet.
    """
    found = (latest(rule, now, zone) for rule in rules if rule.kind in done)
    return [due for due in found if due.due_on > done[due.kind]]
