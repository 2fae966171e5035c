"""When backups are made by themselves, and which of them stay: the section [backup] of a shop's settings."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, ClassVar

from pydantic import AfterValidator, Field

from models.settings.types import RefusedError, Section, Words, nearest
from models.timetable import WEEKDAYS, Clock, Rule

KIND, DAILY = "backup", "daily"


def _day(word: str) -> str:
    if word and word.lower() not in (DAILY, *WEEKDAYS):
        raise RefusedError("is not a day for backups", nearest(word, (DAILY, *WEEKDAYS)))
    return word


def _place(text: str) -> str:
    if text.strip("./\\ ") == "" or text.startswith("~"):
        raise RefusedError("cannot hold backups", 'write "backups", or the whole path of a folder on another disk')
    return text


Kept = Annotated[int, Field(ge=0, le=10_000)]


@dataclass(frozen=True)
class Backups(Section):
    """Backups made by `dunnage schedule`: `when` is daily, a weekday, or empty for never.

    folder: where to, beside dunnage.toml or from the root; one from the root must be there. keep_...: of so many last
    days, weeks and months the newest stays; the newest of all always does. encrypted: every backup is, by a passphrase.
    """

    affected: ClassVar[str] = "backups"

    when: Annotated[str, AfterValidator(_day)] = ""
    at: Clock = "05:00"
    folder: Annotated[Words, AfterValidator(_place)] = "backups"
    keep_daily: Kept = 7
    keep_weekly: Kept = 5
    keep_monthly: Kept = 12
    encrypted: bool = False

    @property
    def rules(self) -> tuple[Rule, ...]:
        """The rule of the scheduled backup; none where it is not wanted."""
        if not self.when:
            return ()
        weekday = None if self.when.lower() == DAILY else WEEKDAYS.index(self.when.lower())
        return (Rule(KIND, datetime.strptime(self.at, "%H:%M").time(), weekday=weekday),)

    def kept(self, made: Iterable[datetime]) -> set[datetime]:
        """Which of the backups made at these instants stay."""
        newest = sorted(made, reverse=True)
        by: list[tuple[int, Callable[[datetime], object]]] = [
            (self.keep_daily, datetime.date),
            (self.keep_weekly, lambda each: each.isocalendar()[:2]),
            (self.keep_monthly, lambda each: (each.year, each.month)),
        ]
        stay = set(newest[:1])
        for count, period in by:
            newest_of: dict[object, datetime] = {}
            for each in newest:
                newest_of.setdefault(period(each), each)
            stay.update(list(newest_of.values())[:count])
        return stay
