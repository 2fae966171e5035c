"""Fuel and tax of a tariff as rows: shares of other charges, with the days on which each holds."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import Any, TypeVar

from models.tariffs.charges import MILLIONTHS, SURCHARGE, Fuel, Tax
from models.tariffs.discount_rows import FUEL, Counting, counting
from models.tariffs.rules import Tariff

Row = dict[str, Any]
Share = TypeVar("Share", Fuel, Tax)
DAY = timedelta(days=1)
# What fuel is taken on: names of surcharges, and this for the base price.
ON_BASE = ""


def fuel_rows(tariff: Tariff, services: Mapping[str, int], fuels: int, bases: int) -> tuple[list[Row], list[Row]]:
    """The fuel share of each span of days in each service, and what each of its bases takes it on.

    fuels, bases: how many fuel rows and bases other tariffs have.
    """
    keys = {names: bases + n for n, names in enumerate(dict.fromkeys(_fuelled(tariff, row) for row in tariff.fuel), 1)}
    found = [
        _fuel_row(tariff, row, begun, end)
        | {"service_key": service_key, "fuel_basis_key": keys[_fuelled(tariff, row)], "share_millionths": share}
        for service, service_key in services.items()
        for row, first, last in _spans(tariff, [row for row in tariff.fuel if row.holds_for(service)])
        for share, begun, end in _discounted(row, first, last, counting(tariff, FUEL, service))
    ]
    numbered = [row | {"fuel_key": fuels + number} for number, row in enumerate(found, 1)]
    return numbered, [{"fuel_basis_key": key, "surcharge": name} for names, key in keys.items() for name in names]


def _discounted(row: Fuel, first: date, last: date, off: Sequence[Counting]) -> Iterator[tuple[int, date, date]]:
    """The share on each span of its days on which the same discounts on fuel count, to a millionth."""
    within = [each for each in off if each.first <= last and each.last >= first]
    days = {first, last + DAY} | {max(each.first, first) for each in within} | {each.last + DAY for each in within}
    for begun, after in pairwise(sorted(day for day in days if first <= day <= last + DAY)):
        taken = next((each.share_millionths for each in within if each.first <= begun <= each.last), 0)
        left = row.share_millionths * (MILLIONTHS - taken)
        yield (2 * left + MILLIONTHS) // (2 * MILLIONTHS), begun, after - DAY


def _fuelled(tariff: Tariff, row: Fuel) -> tuple[str, ...]:
    """The names of the surcharges that the row takes fuel on, and ON_BASE."""
    own = dict.fromkeys(each.surcharge for each in tariff.surcharges)
    named = [name for name in own if "surcharge" in row.on or f"{SURCHARGE}{name}" in row.on]
    return (*((ON_BASE,) if "base" in row.on else ()), *named)


def _fuel_row(tariff: Tariff, row: Fuel, first: date, last: date) -> Row:
    return {
        "valid_from": first,
        "valid_to": last,
        "is_of_base": "base" in row.on,
        "is_of_surcharge": any(name != ON_BASE for name in _fuelled(tariff, row)),
    }


def _spans(tariff: Tariff, rows: Sequence[Share]) -> list[tuple[Share, date, date]]:
    """Each row with the first and last day on which it is the latest that has started, the first of equals."""
    starts = {row.valid_from: row for row in reversed(rows)}
    days: list[date] = sorted(starts)
    ends = [*(day - DAY for day in days[1:]), max([tariff.last_on, *days])]
    return [(starts[day], day, end) for day, end in zip(days, ends, strict=False)]


def tax_rows(tariff: Tariff, services: Mapping[str, int]) -> list[Row]:
    """The tax share of each span of days in each service and priced zone."""
    return [
        {
            "service_key": service_key,
            "zone": zone,
            "valid_from": first,
            "valid_to": last,
            "share_millionths": row.share_millionths,
        }
        for service, service_key in services.items()
        for zone in tariff.zones(service)
        for row, first, last in _spans(tariff, [row for row in tariff.taxes if row.holds_in(service, zone)])
    ]
