"""Days and instants after ISO 8601 and in stated orders; yes and no."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from pipelines.shop.settings import Shop
from tests.strangers.groups import Group
from tests.strangers.probes import DATE, FLAG, INSTANT
from tests.strangers.trials import Case, either, refused, valid

DAY = date(2026, 10, 5)
ZONES = ("UTC", "America/New_York", "Europe/Berlin", "Asia/Kolkata", "Australia/Adelaide")
ORDERS = {"dmy": "{d}{s}{m}{s}{y}", "mdy": "{m}{s}{d}{s}{y}", "ymd": "{y}{s}{m}{s}{d}"}


def groups(chance: random.Random) -> Iterator[Group]:
    """Dates of each order, of none; instants in zones; flags."""
    for order in ORDERS:
        yield Group(f"days {order}", DATE, [*_ordered(order, chance), *_any_order(chance)], date_order=order)
    yield Group("days iso", DATE, list(_any_order(chance)))
    yield from _unordered()
    for zone in ZONES:
        yield Group(f"instants {zone}", INSTANT, list(_instants(zone, chance)), shop=Shop(time_zone=zone))
    ordered = [
        valid("stated order", "03/10/2026 14:25", datetime(2026, 10, 3, 14, 25)),
        valid("stated order", "03.10.2026 14:25:06", datetime(2026, 10, 3, 14, 25, 6)),
        either("clock of twelve hours", "03/10/2026 02:25 PM", datetime(2026, 10, 3, 14, 25)),
        *refused("no such month", "10/25/2026 14:25"),
    ]
    yield Group("instants dmy", INSTANT, ordered, date_order="dmy")
    yield Group("flags", FLAG, list(_flags()))
    reported = [
        valid("by the map's words", "J", True),
        valid("by the map's words", "-", False),
        *refused("not among the words", "perhaps", "JJ"),
    ]
    yield Group("flags by words", FLAG, reported, words={"J": "yes", "-": "no"})


def _days(chance: random.Random, count: int) -> Iterator[date]:
    yield from (date(2000, 1, 1), date(2024, 2, 29), date(2026, 12, 31))
    yield from (date(2001, 1, 1) + timedelta(days=chance.randrange(36_000)) for _ in range(count))


def _ordered(order: str, chance: random.Random) -> Iterator[Case]:
    for day in _days(chance, 24):
        separator = chance.choice("/.-") if order != "ymd" else chance.choice("/.")
        padded = chance.random() < 0.7
        parts = {
            "y": str(day.year),
            "m": f"{day.month:02}" if padded else str(day.month),
            "d": f"{day.day:02}" if padded else str(day.day),
        }
        yield valid(f"stated order {order}", ORDERS[order].format(s=separator, **parts), day)
    yield either("a year of two figures", ORDERS[order].format(s="/", y="26", m="10", d="05"), DAY)
    yield either("with a time of day", ORDERS[order].format(s="/", y="2026", m="10", d="05") + " 14:25", DAY)
    for year, month, day_of in (
        ("2026", "13", "05"),
        ("2026", "02", "30"),
        ("2026", "00", "10"),
        ("2026", "10", "00"),
        ("2025", "02", "29"),
        ("2026", "25", "10"),
        ("1999", "12", "31"),
        ("0026", "10", "05"),
    ):
        yield from refused(
            "no such day, or out of bounds, in the stated order", ORDERS[order].format(s="/", y=year, m=month, d=day_of)
        )


def _any_order(chance: random.Random) -> Iterator[Case]:
    yield from (valid("ISO 8601", day.isoformat(), day) for day in _days(chance, 8))
    yield from (valid("blank where it may be", blank, None) for blank in ("", "  ", "\u00a0"))
    yield from (
        either("ISO 8601, seldom used", cell, DAY)
        for cell in ("20261005", "2026-W41-1", "2026-278", "2026-10-05T14:25:00")
    )
    yield from (
        either("a month in words", cell, DAY)
        for cell in ("5 Oct 2026", "October 5, 2026", "5. Oktober 2026", "Oct 5, 2026", "05-Oct-26", "Mon 5 Oct 2026")
    )
    yield from (either("a mark of absence", word, None) for word in ("-", "n/a", "NULL", "0000-00-00"))
    yield from refused(
        "no day",
        "2026-10",
        "2026",
        "Oct 2026",
        "Q4 2026",
        "2026-13-05",
        "2026-02-30",
        "2025-02-29",
        "46300",
        "1790000000",
        "today",
        "########",
        "2026-10-05x",
        "5 Octember 2026",
        "20261305",
        "10/2026",
        "2026--10-05",
        "#N/A",
        "1999-12-31",
        "2100-01-02",
        "2026-10-5-3",
        "05",
        "-2026-10-05",
        "12:30",
    )


def _unordered() -> Iterator[Group]:
    open_cells = refused(
        "day or month first: nothing says", "05/10/2026", "01.02.2026", "3-4-2026", "12/12/26", "01/02/03"
    )
    yield Group("days unordered", DATE, open_cells, is_whole=True)
    proof = [
        either("proves itself", "25/10/2026", date(2026, 10, 25)),
        either("proven by the column", "05/10/2026", DAY),
    ]
    yield Group("days proven dmy", DATE, proof, is_whole=True)
    proof = [
        either("proves itself", "10/25/2026", date(2026, 10, 25)),
        either("proven by the column", "10/05/2026", DAY),
    ]
    yield Group("days proven mdy", DATE, proof, is_whole=True)
    mixed = [
        either("proves itself", "25/10/2026", date(2026, 10, 25)),
        either("proves itself", "10/25/2026", date(2026, 10, 25)),
        *refused("the column says both", "05/10/2026"),
    ]
    yield Group("days mixed", DATE, mixed, is_whole=True)


def _instants(zone: str, chance: random.Random) -> Iterator[Case]:
    shop = ZoneInfo(zone)
    for _ in range(8):
        instant = datetime(2020, 1, 1, tzinfo=UTC) + timedelta(seconds=chance.randrange(6 * 365 * 86_400))
        local = instant.astimezone(shop).replace(tzinfo=None)
        yield valid("ISO 8601 in UTC", instant.strftime("%Y-%m-%dT%H:%M:%SZ"), local)
        away = instant.astimezone(ZoneInfo(chance.choice(("Asia/Tokyo", "America/Denver", "Asia/Kathmandu"))))
        yield valid("ISO 8601 with an offset", away.isoformat(), local)
        plain = instant.replace(tzinfo=None, hour=12)
        yield valid("in the shop's zone", plain.isoformat(sep=" "), plain)
        yield valid("in the shop's zone", plain.strftime("%Y-%m-%dT%H:%M"), plain.replace(second=0))
    yield either("a day alone", "2026-10-03", datetime(2026, 10, 3))
    yield either("midnight at its end", "2026-10-03 24:00", datetime(2026, 10, 4))
    yield either(
        "parts of a second",
        "2026-10-03 14:25:06.500",
        datetime(2026, 10, 3, 14, 25, 6, 500_000),
        datetime(2026, 10, 3, 14, 25, 6),
    )
    yield either("clock of twelve hours", "2026-10-03 02:25 PM", datetime(2026, 10, 3, 14, 25))
    # -05:00 by its name; as a time of the shop it would be another instant, but for New York in winter.
    reported = datetime(2026, 12, 3, 19, 25, tzinfo=UTC).astimezone(shop).replace(tzinfo=None)
    yield either("a zone by its letters", "2026-12-03 14:25:00 EST", reported)
    yield from refused(
        "no instant",
        "14:25",
        "2026-10-03 25:00",
        "2026-10-03 14:60",
        "2026-13-03 10:00",
        "2026-02-30 10:00",
        "1790000000",
        "46298.6",
        "2026-10-03 14:25 IST",
        "2026-10-03T14:25+99:00",
        "",
        " ",
        "2026-10-03 at noon",
        "2026-10-03 14:25:61",
        "1999-12-31 10:00:00",
        "10/03/2026 14:25 xm",
    )


def _flags() -> Iterator[Case]:
    for word in ("yes", "Yes", "YES", "y", "Y", "true", "TRUE", "True", "1"):
        yield valid("yes", word, True)
    for word in ("no", "No", "NO", "n", "N", "false", "FALSE", "False", "0"):
        yield valid("no", word, False)
    yield from (valid("blank where it may be", blank, None) for blank in ("", " ", "\u00a0"))
    yield from (
        either("another word for yes", word, True)
        for word in ("t", "on", "x", "ja", "oui", "wahr", "✓", "1.0", " yes ")
    )
    yield from (
        either("another word for no", word, False) for word in ("f", "off", "nein", "non", "falsch", "✗", "0.0", "no ")
    )
    yield from (either("a mark of absence", word, None) for word in ("-", "n/a", "NULL", "?"))
    yield from refused(
        "neither",
        "maybe",
        "2",
        "-1",
        "yes?",
        "yes no",
        "0.5",
        "10",
        "01/10",
        "yess",
        "nope",
        "not yes",
        "partly",
        "50%",
    )
