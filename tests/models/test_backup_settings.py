"""Which backups stay: of the last days, weeks and months the newest, whatever was missed."""

from __future__ import annotations

from datetime import datetime, time, timedelta

from hypothesis import given
from hypothesis import strategies as st

from models.settings.backup import Backups
from models.timetable import Rule

FIVE = datetime(2026, 11, 20, 5)
INSTANTS = st.lists(st.datetimes(datetime(2024, 1, 1), datetime(2026, 12, 31)), min_size=1, unique=True)


def lived(backups: Backups, days: int) -> list[datetime]:
    """What is left where a backup was made every day and the older ones were let go each time."""
    left: set[datetime] = set()
    for day in range(days):
        left = backups.kept({*left, FIVE + timedelta(days=day)})
    return sorted(left, reverse=True)


def test_a_year_of_days() -> None:
    """Read off a calendar: the run ends on Friday 2027-11-19; Sundays end weeks."""
    left = lived(Backups(keep_daily=3, keep_weekly=2, keep_monthly=3), 365)
    assert [f"{each:%a %m-%d}" for each in left] == [
        "Fri 11-19",
        "Thu 11-18",
        "Wed 11-17",
        "Sun 11-14",
        "Sun 10-31",
        "Thu 09-30",
    ]


@given(INSTANTS, st.integers(0, 9), st.integers(0, 9), st.integers(0, 9))
def test_never_more_than_stated_and_always_the_newest(made: list[datetime], days: int, weeks: int, months: int) -> None:
    kept = Backups(keep_daily=days, keep_weekly=weeks, keep_monthly=months).kept(made)
    assert max(made) in kept <= set(made)
    assert len(kept) <= max(1, days + weeks + months)
    assert Backups(keep_daily=days, keep_weekly=weeks, keep_monthly=months).kept(kept) == kept


@given(INSTANTS)
def test_every_month_within_reach_has_one(made: list[datetime]) -> None:
    kept = Backups(keep_daily=0, keep_weekly=0, keep_monthly=100).kept(made)
    assert {(each.year, each.month) for each in kept} == {(each.year, each.month) for each in made}


def test_when_it_is_due() -> None:
    assert Backups().rules == ()
    assert Backups(when="daily").rules == (Rule("backup", time(5)),)
    assert Backups(when="Sunday", at="23:30").rules == (Rule("backup", time(23, 30), weekday=6),)
