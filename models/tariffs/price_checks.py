"""Checks of a tariff's price rows: gaps, repeated rows, prices that fall where they should not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from models.tariffs.reading import Finding
from models.tariffs.rules import MILLI, Price, Tariff

Lane = tuple[str, str]


def price_findings(tariff: Tariff) -> Iterator[Finding]:
    """Everything found in the price rows."""
    yield from _services_without_prices(tariff)
    yield from _repeated(tariff)
    for service in dict.fromkeys(price.service for price in tariff.prices):
        lanes = _lanes(tariff, service)
        yield from _zone_gaps(tariff, service)
        yield from _weight_gaps(tariff, lanes)
        for rows in lanes.values():
            yield from _falling_with_weight(tariff, rows)
        yield from _falling_with_zone(tariff, lanes)


def _finding(tariff: Tariff, line: int, level: str, what: str, next_step: str) -> Finding:
    return Finding(tariff.prices_file, line, level, what, next_step)


def _lanes(tariff: Tariff, service: str) -> dict[Lane, list[Price]]:
    found: dict[Lane, list[Price]] = {}
    for price in tariff.prices:
        if price.service == service:
            found.setdefault((service, price.zone), []).append(price)
    return {lane: sorted(rows, key=lambda row: row.up_to_milli) for lane, rows in found.items()}


def _services_without_prices(tariff: Tariff) -> Iterator[Finding]:
    priced = {price.service: price.line for price in reversed(tariff.prices)}
    for service in tariff.services:
        if service.service not in priced:
            what = f"service {service.service} has no prices in {tariff.prices_file}"
            yield Finding(tariff.file, service.line, "stop", what, "add its rows, or learn them from billed history")
    for name in priced.keys() - {service.service for service in tariff.services}:
        what = f"prices of {name}, which is no service of {tariff.file}"
        yield _finding(tariff, priced[name], "stop", what, "correct the name, or state the service")


def _repeated(tariff: Tariff) -> Iterator[Finding]:
    seen: dict[tuple[str, str, int], int] = {}
    for price in tariff.prices:
        first = seen.setdefault((price.service, price.zone, price.up_to_milli), price.line)
        if first != price.line:
            yield _finding(
                tariff, price.line, "stop", f"{_words(price)} is also priced in line {first}", "keep one of the two"
            )


def _words(price: Price) -> str:
    return f"{price.service}, zone {price.zone}, up to {price.up_to_milli / MILLI:g}"


def _cents(price: Price) -> int:
    return price.price_cents or 0


def _zone_gaps(tariff: Tariff, service: str) -> Iterator[Finding]:
    own = set(tariff.zones(service))
    every = {price.zone for price in tariff.prices}
    numbered = sorted(int(zone) for zone in own if zone.isdigit())
    between = {str(zone) for low, high in pairwise(numbered) for zone in range(low + 1, high)}
    first = next(price.line for price in tariff.prices if price.service == service)
    for zone in sorted((every | between) - own):
        what = f"{service} has no prices for zone {zone}"
        yield _finding(tariff, first, "warn", what, "add them if the carrier serves it")


def _weight_gaps(tariff: Tariff, lanes: dict[Lane, list[Price]]) -> Iterator[Finding]:
    every = {row.up_to_milli for rows in lanes.values() for row in rows}
    for rows in lanes.values():
        for weight in sorted(every - {row.up_to_milli for row in rows}):
            after = next((row for row in rows if row.up_to_milli > weight), rows[-1])
            what = f"{rows[0].service}, zone {rows[0].zone} lacks the weight {weight / MILLI:g} that other zones have"
            yield _finding(tariff, after.line, "warn", what, "add the row")
    limit = _weight_limit(tariff, next(iter(lanes))[0])
    if limit is not None and limit > max(every):
        last = max((row for rows in lanes.values() for row in rows), key=lambda row: row.up_to_milli)
        what = f"{last.service} carries {limit / MILLI:g} but prices end at {max(every) / MILLI:g}"
        yield _finding(tariff, last.line, "warn", what, "add the heavier rows, or lower the limit")


def _weight_limit(tariff: Tariff, name: str) -> int | None:
    limits = [dict(service.limits) for service in tariff.services if service.service == name]
    return limits[0].get("scale_weight") if limits else None


def _falling_with_weight(tariff: Tariff, rows: Sequence[Price]) -> Iterator[Finding]:
    for lighter, heavier in pairwise(rows):
        if _cents(heavier) < _cents(lighter):
            what = f"{_words(heavier)} costs less than up to {lighter.up_to_milli / MILLI:g}"
            yield _finding(tariff, heavier.line, "warn", what, "compare both rows with the carrier's list")


def _falling_with_zone(tariff: Tariff, lanes: dict[Lane, list[Price]]) -> Iterator[Finding]:
    numbered = sorted((lane for lane in lanes if lane[1].isdigit()), key=lambda lane: int(lane[1]))
    for near, far in pairwise(numbered):
        cheaper = {row.up_to_milli: row for row in lanes[far]}
        for row in lanes[near]:
            other = cheaper.get(row.up_to_milli)
            if other and _cents(other) < _cents(row) and other.price_cents is not None:
                what = f"{_words(other)} costs less than in zone {row.zone}"
                yield _finding(tariff, other.line, "warn", what, "compare both rows with the carrier's list")
