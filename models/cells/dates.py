"""Dates and times: ISO 8601, figures in a stated order, names of months. What may be two days is refused.

A year of two figures is one of 2000 to 2099, the years that the contract knows. In figures the order must be stated;
beside a month's name the day comes first and the year last, unless the stated order begins with the year.
"""

import re
import unicodedata
from datetime import date, datetime, time, timedelta, timezone
from functools import cache
from zoneinfo import ZoneInfo

from models.cells.numbers import Unreadable

# With the countries that abbreviate otherwise.
LANGUAGES = ("en", "en_GB", "de", "de_AT", "fr", "fr_CA", "es", "it", "pt")
_CONTEXTS, _WIDTHS = ("format", "stand-alone"), ("wide", "abbreviated")


def month_number(name: str) -> int | None:
    """1 to 12; None for what is not the whole name of a month or its abbreviation. No name means two months."""
    return _numbers().get(_plain(name))


def _plain(name: str) -> str:
    return name.casefold().rstrip(".")


@cache
def _numbers() -> dict[str, int]:
    from babel import Locale

    found = (Locale.parse(language).months for language in LANGUAGES)
    written = [months[context][width] for months in found for context in _CONTEXTS for width in _WIDTHS]
    return {_plain(name): number for names in written for number, name in names.items()}


_ISO = re.compile(r"(?P<y>\d{4})([-/. ])(?P<m>\d{1,2})\2(?P<d>\d{1,2})|(?P<y2>\d{4})(?P<m2>\d{2})(?P<d2>\d{2})")
_WEEK = re.compile(r"(?P<y>\d{4})-W(?P<w>\d{2})-(?P<d>[1-7])")
_FIGURES = re.compile(r"(?P<a>\d{1,2})([-/. ])(?P<b>\d{1,2})\2(?P<y>\d{4}|\d{2})")
_MONTH, _YEAR = r"(?P<m>[^\W\d_]{3,12})\.?", r"(?P<y>\d{4}|\d{2})"
_NAMED = re.compile(rf"(?P<d>\d{{1,2}})(?:er|º)?[-./ ]{{1,2}}(?:de )?{_MONTH}[-/, ]{{1,2}}(?:de )?{_YEAR}")
_NAMED_FIRST = re.compile(rf"{_MONTH} (?P<d>\d{{1,2}})(?:, | |,){_YEAR}")
_TIME = re.compile(
    r"(?P<day>.+?)(?:[ T]+(?P<h>\d{1,2}):(?P<min>\d{2})(?::(?P<s>\d{2})(?:[.,](?P<f>\d{1,9}))?)?"
    r"\s*(?P<half>[AaPp]\.?[Mm]\.?)?\s*(?P<zone>Z|UTC|GMT|[+-]\d{2}(?::?\d{2})?)?)?"
)


def read_date(text: str, order: str | None, time_zone: str) -> date:
    """The day; a time with an offset is moved to the shop's zone first. Raises Unreadable."""
    return read_instant(text, order, time_zone).date()


def read_instant(text: str, order: str | None, time_zone: str) -> datetime:
    """The local time in the shop's zone, without zone; a day without a time is its first moment. Raises Unreadable."""
    found = _TIME.fullmatch(text)
    if not found:
        raise Unreadable("is not a date")
    day = _day(found["day"].strip(), order)
    if found["h"] is None:
        return datetime.combine(day, time())
    moment = datetime.combine(day, _clock(found))
    return moment if found["zone"] is None else _local(moment, found["zone"], time_zone)


def _clock(found: re.Match[str]) -> time:
    hour = int(found["h"])
    if found["half"]:
        if not 1 <= hour <= 12:
            raise Unreadable("has a time that does not exist")
        hour = hour % 12 + (12 if found["half"][0] in "Pp" else 0)
    try:
        return time(hour, int(found["min"]), int(found["s"] or 0), int((found["f"] or "0").ljust(6, "0")[:6]))
    except ValueError:
        raise Unreadable("has a time that does not exist") from None


def _local(moment: datetime, zone: str, time_zone: str) -> datetime:
    offset = re.fullmatch(r"([+-])(\d{2}):?(\d{2})?", zone)
    minutes = int(f"{offset[1]}1") * (int(offset[2]) * 60 + int(offset[3] or 0)) if offset else 0
    if abs(minutes) > 18 * 60:
        raise Unreadable("has an offset that does not exist")
    try:
        there = moment.replace(tzinfo=timezone(timedelta(minutes=minutes)))
        return there.astimezone(ZoneInfo(time_zone)).replace(tzinfo=None)
    except OverflowError:
        raise Unreadable("is not a valid date") from None


def _day(text: str, order: str | None) -> date:
    if iso := _ISO.fullmatch(text):
        return _dated(iso["y"] or iso["y2"], iso["m"] or iso["m2"], iso["d"] or iso["d2"])
    if figures := _FIGURES.fullmatch(text):
        return _ordered(figures, order)
    composed = unicodedata.normalize("NFC", text)
    if named := _NAMED.fullmatch(composed) or _NAMED_FIRST.fullmatch(composed):
        return _named(named, order)
    if week := _WEEK.fullmatch(text):
        return _week_date(week)
    if re.fullmatch(r"\d{5}(?:[.,]\d+)?", text):
        raise Unreadable("is a spreadsheet's day number; write it as a date")
    raise Unreadable("is not a date")


def _week_date(week: re.Match[str]) -> date:
    try:
        return date.fromisocalendar(int(week["y"]), int(week["w"]), int(week["d"]))
    except ValueError:
        raise Unreadable("is not a valid date") from None


def _ordered(figures: re.Match[str], order: str | None) -> date:
    first, second, year = figures["a"], figures["b"], figures["y"]
    if len(year) == 2:
        # Only this century lies within the contract, so two figures are enough where the order is known.
        return _short_year(figures, order)
    if order == "dmy":
        return _dated(year, second, first)
    if order == "mdy":
        return _dated(year, first, second)
    if int(first) <= 12 and int(second) <= 12 and int(first) != int(second):
        raise Unreadable("may be two days; state `date_order` in the column map")
    return _dated(year, *((second, first) if int(first) > 12 else (first, second)))


def _short_year(figures: re.Match[str], order: str | None) -> date:
    first, second, third = figures["a"], figures["b"], figures["y"]
    if order is None:
        raise Unreadable("has a year of two figures; state `date_order` in the column map")
    by_letter = dict(zip(order, (first, second, third), strict=True))
    return _dated(f"20{int(by_letter['y']):02}", by_letter["m"], by_letter["d"])


def _named(named: re.Match[str], order: str | None) -> date:
    month = month_number(named["m"])
    if month is None:
        raise Unreadable(f"has {named['m']!r}, which is not a month")
    is_short = len(named["y"]) == 2
    if is_short and order == "ymd":
        raise Unreadable("has a year of two figures, which may stand first or last; write all four")
    return _dated(f"20{named['y']}" if is_short else named["y"], str(month), named["d"])


def _dated(year: str, month: str, day: str) -> date:
    try:
        return date(int(year), int(month), int(day))
    except ValueError:
        raise Unreadable("is not a valid date") from None
