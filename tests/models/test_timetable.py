"""When runs are due: by the clock on the wall, also on the days on which it jumps."""

from __future__ import annotations

import asyncio
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.settings.checking import checked
from models.timetable import Rule, Schedule, instant, latest, missed, open_runs, upcoming

NEW_YORK, BERLIN, LORD_HOWE = (ZoneInfo(name) for name in ("America/New_York", "Europe/Berlin", "Australia/Lord_Howe"))
ZONES = (NEW_YORK, BERLIN, LORD_HOWE, ZoneInfo("Asia/Kolkata"), ZoneInfo("UTC"))


@pytest.mark.published
@pytest.mark.parametrize(
    ("day", "at", "zone", "expected"),
    [
        # 15 U.S.C. 260a (Energy Policy Act of 2005, section 110): clocks in the US are an hour ahead from 2 a.m. on the
        # second Sunday of March to 2 a.m. on the first Sunday of November. 8 March 2026 has no 02:30.
        (date(2026, 3, 7), time(2, 30), NEW_YORK, "2026-03-07 07:30"),
        (date(2026, 3, 8), time(2, 30), NEW_YORK, "2026-03-08 07:30"),
        (date(2026, 3, 8), time(3, 30), NEW_YORK, "2026-03-08 07:30"),
        (date(2026, 3, 9), time(2, 30), NEW_YORK, "2026-03-09 06:30"),
        # 01:30 is shown twice on 1 November 2026: the first counts.
        (date(2026, 11, 1), time(1, 30), NEW_YORK, "2026-11-01 05:30"),
        (date(2026, 11, 2), time(1, 30), NEW_YORK, "2026-11-02 06:30"),
        # Directive 2000/84/EC, articles 2 and 3: 1 a.m. GMT on the last Sundays of March and October.
        (date(2026, 3, 29), time(2, 30), BERLIN, "2026-03-29 01:30"),
        (date(2026, 10, 25), time(2, 30), BERLIN, "2026-10-25 00:30"),
        (date(2026, 10, 26), time(2, 30), BERLIN, "2026-10-26 01:30"),
    ],
)
def test_the_days_on_which_the_clock_jumps(day: date, at: time, zone: ZoneInfo, expected: str) -> None:
    assert f"{instant(day, at, zone):%Y-%m-%d %H:%M}" == expected


def cron(rule: Rule) -> str:
    """The rule in five fields: minute, hour, day of month, month, day of week (0 Sunday)."""
    month_day = "*" if rule.month_day is None else str(rule.month_day)
    weekday = "*" if rule.weekday is None else str((rule.weekday + 1) % 7)
    return f"{rule.at.minute} {rule.at.hour} {month_day} * {weekday}"


@pytest.mark.parametrize("zone", ZONES, ids=str)
@pytest.mark.parametrize(
    "rule",
    [
        Rule("intake", time(2, 30)),
        Rule("intake", time(1, 15)),
        Rule("watch", time(2, 0), weekday=6),
        Rule("watch", time(6, 30), weekday=0),
        Rule("review", time(7, 0), month_day=28),
    ],
    ids=cron,
)
def test_the_orchestrator_has_the_same_instants(rule: Rule, zone: ZoneInfo) -> None:
    """A reference library: Prefect 3.9's reading of the cron line gives the same instants through two years."""
    from prefect.server.schemas.schedules import CronSchedule

    start, end = datetime(2026, 1, 1, tzinfo=UTC), datetime(2027, 12, 31, tzinfo=UTC)
    schedule = CronSchedule(cron=cron(rule), timezone=str(zone))
    theirs = [each.astimezone(UTC) for each in asyncio.run(schedule.get_dates(n=1000, start=start, end=end))]
    ours, now = [], start - timedelta(seconds=1)
    while (due := upcoming(rule, now, zone)).due_at <= end:
        ours.append(due.due_at)
        now = due.due_at
    assert ours == theirs
    assert len(ours) > 20


@settings(derandomize=True, deadline=None, max_examples=200)
@given(
    st.datetimes(datetime(2026, 1, 1), datetime(2027, 12, 31)),
    st.times().map(lambda at: at.replace(second=0, microsecond=0)),
    st.sampled_from(ZONES),
    st.sampled_from([{}, {"weekday": 6}, {"month_day": 1}, {"month_day": 28}]),
)
def test_now_lies_between_the_last_and_the_next_run(
    now: datetime, at: time, zone: ZoneInfo, falls: dict[str, int]
) -> None:
    rule, moment = Rule("watch", at, **falls), now.replace(tzinfo=UTC)
    before, after = latest(rule, moment, zone), upcoming(rule, moment, zone)
    assert before.due_at <= moment < after.due_at
    assert before.due_on < after.due_on
    assert not any(
        rule.falls_on(before.due_on + timedelta(days=n)) for n in range(1, (after.due_on - before.due_on).days)
    )


def test_what_a_sleeping_machine_missed_is_made_up_once() -> None:
    rules, now = Schedule().rules, datetime(2026, 11, 12, 12, 0, tzinfo=UTC)
    done = {"intake": date(2026, 10, 20), "watch": date(2026, 11, 9), "review": date(2026, 9, 5)}
    found = missed(rules, done, now, NEW_YORK)
    assert [(due.kind, due.due_on) for due in found] == [("intake", date(2026, 11, 12)), ("review", date(2026, 11, 5))]
    made_up = done | {due.kind: due.due_on for due in found}
    assert missed(rules, made_up, now, NEW_YORK) == []


@settings(derandomize=True, deadline=None, max_examples=100)
@given(
    st.datetimes(datetime(2026, 1, 1), datetime(2027, 12, 31)),
    st.integers(0, 90),
    st.sampled_from(ZONES),
    st.sampled_from([{}, {"weekday": 6}, {"month_day": 1}]),
)
def test_open_runs_are_those_between_the_last_one_done_and_now(
    now: datetime, days: int, zone: ZoneInfo, falls: dict[str, int]
) -> None:
    """Counted the other way: one run after the other, from the one done to now."""
    rule, moment = Rule("watch", time(2, 30), **falls), now.replace(tzinfo=UTC)
    done = due = latest(rule, moment - timedelta(days=days), zone)
    counted = []
    while (due := upcoming(rule, due.due_at, zone)).due_at <= moment:
        counted.append(due)
    assert open_runs(rule, done.due_on, moment, zone) == counted


def test_a_kind_that_never_ran_has_missed_nothing() -> None:
    assert missed(Schedule().rules, {}, datetime(2026, 11, 12, tzinfo=UTC), BERLIN) == []


@pytest.mark.parametrize(
    "wrong",
    [
        {"alert_after_hours": 0},
        {"end_after_hours": 0},
        {"end_after_hours": float("inf")},
        {"intake_at": "25:00"},
        {"watch_day": "moonday"},
        {"review_at": "7 am"},
        {"review_day": 31},
        {"review_day": 0},
    ],
)
def test_a_schedule_that_cannot_be_read(wrong: dict[str, object]) -> None:
    found, mistakes = checked(Schedule, wrong)
    assert found is None
    assert [each.place for each in mistakes] == [tuple(wrong)]
