"""Checks of a tariff's price rows: gaps, repeated rows, prices that fall where they should not."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from models.tariffs.reading import Finding
from models.tariffs.rules import EVERY_ZONE, MILLI, Price, Tariff

# Service, zone and size.
Lane = tuple[str, str, str]


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
            found.setdefault((service, price.zone, price.size_class), []).append(price)
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
    seen: dict[tuple[str, str, str, int], int] = {}
    for price in tariff.prices:
        first = seen.setdefault((price.service, price.zone, price.size_class, price.up_to_milli), price.line)
        if first != price.line:
            yield _finding(
                tariff, price.line, "stop", f"{_words(price)} is also priced in line {first}", "keep one of the two"
            )


def _words(price: Price) -> str:
    size = f", size {price.size_class}" if price.size_class else ""
    return f"{price.service}, zone {price.zone}{size}, up to {price.up_to_milli / MILLI:g}"


def _cents(price: Price) -> int:
    return price.price_cents or 0


def _zone_gaps(tariff: Tariff, service: str) -> Iterator[Finding]:
    own = set(tariff.zones(service))
    every = {price.zone for price in tariff.prices}
    numbered = sorted(int(zone) for zone in own if zone.isdigit())
    between = {str(zone) for low, high in pairwise(numbered) for zone in range(low + 1, high)}
    missing = sorted((every | between) - own - {EVERY_ZONE}, key=lambda zone: (len(zone), zone))
    if missing and EVERY_ZONE not in own:
        first = next(price.line for price in tariff.prices if price.service == service)
        what = f"{service} has no prices for {_zones([(service, zone, '') for zone in missing])}"
        yield _finding(tariff, first, "warn", what, "add them if the carrier serves it")


def _weight_gaps(tariff: Tariff, lanes: dict[Lane, list[Price]]) -> Iterator[Finding]:
    every = {row.up_to_milli for rows in lanes.values() for row in rows}
    alike: dict[tuple[int, ...], list[Lane]] = {}
    for lane, rows in lanes.items():
        if missing := tuple(sorted(every - {row.up_to_milli for row in rows})):
            alike.setdefault(missing, []).append(lane)
    for missing, found in alike.items():
        first = lanes[found[0]][0]
        what = f"{first.service}, {_zones(found)}: no price {_weights(missing, every)}, which other zones have"
        yield _finding(tariff, _after(lanes[found[0]], missing[0]).line, "warn", what, "add the rows")
    limit = _weight_limit(tariff, next(iter(lanes))[0])
    if limit is not None and limit > max(every):
        last = max((row for rows in lanes.values() for row in rows), key=lambda row: row.up_to_milli)
        what = f"{last.service} carries {limit / MILLI:g} but prices end at {max(every) / MILLI:g}"
        yield _finding(tariff, last.line, "warn", what, "add the heavier rows, or lower the limit")


def _after(rows: Sequence[Price], weight: int) -> Price:
    return next((row for row in rows if row.up_to_milli > weight), rows[-1])


def _zones(lanes: Sequence[Lane]) -> str:
    """The zones of some lanes in few words: zones 1000 to 2000."""
    zones = [f"{zone}, size {size}" if size else zone for _, zone, size in lanes]
    if len(zones) == 1:
        return f"zone {zones[0]}"
    return f"zones {', '.join(zones)}" if len(zones) <= 4 else f"{len(zones)} zones, {zones[0]} to {zones[-1]}"


def _weights(missing: Sequence[int], every: set[int]) -> str:
    """The weights without a price in few words: above 20 kg, to 2, for 3, 5."""
    ordered = sorted(every)
    if list(missing) == ordered[-len(missing) :]:
        return f"above {ordered[-len(missing) - 1] / MILLI:g}"
    if list(missing) == ordered[: len(missing)]:
        return f"up to {missing[-1] / MILLI:g}"
    few = ", ".join(f"{weight / MILLI:g}" for weight in missing[:4])
    return (
        f"for the weight {few}" if len(missing) <= 4 else f"for {len(missing)} weights from {missing[0] / MILLI:g} on"
    )


def _weight_limit(tariff: Tariff, name: str) -> int | None:
    limits = [dict(service.limits) for service in tariff.services if service.service == name]
    return limits[0].get("scale_weight") if limits else None


def _falling_with_weight(tariff: Tariff, rows: Sequence[Price]) -> Iterator[Finding]:
    falling = [(low, high) for low, high in pairwise(rows) if _cents(high) < _cents(low)]
    if falling:
        lighter, heavier = falling[0]
        what = f"{_words(heavier)} costs less than up to {lighter.up_to_milli / MILLI:g}{_more(len(falling))}"
        yield _finding(tariff, heavier.line, "warn", what, "compare both rows with the carrier's list")


def _falling_with_zone(tariff: Tariff, lanes: dict[Lane, list[Price]]) -> Iterator[Finding]:
    numbered = sorted((lane for lane in lanes if lane[1].isdigit()), key=lambda lane: (lane[2], int(lane[1])))
    for near, far in pairwise(numbered):
        known = {row.up_to_milli: row for row in lanes[far] if row.price_cents is not None and near[2] == far[2]}
        pairs = [(row, known[row.up_to_milli]) for row in lanes[near] if row.up_to_milli in known]
        falling = [(row, other) for row, other in pairs if _cents(other) < _cents(row)]
        if falling:
            row, other = falling[0]
            what = f"{_words(other)} costs less than in zone {row.zone}{_more(len(falling))}"
            yield _finding(tariff, other.line, "warn", what, "compare both rows with the carrier's list")


def _more(count: int) -> str:
    return "" if count == 1 else f", and so at {count - 1} other weight{'s' if count > 2 else ''}"
