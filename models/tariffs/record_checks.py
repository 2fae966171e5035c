"""A tariff beside the shop's own records: areas and zones that can match none of them, or none so far."""

from collections.abc import Iterator
from dataclasses import dataclass

from models.tariffs.places import begins, district, prefixes
from models.tariffs.reading import Finding
from models.tariffs.rules import EVERY_ZONE, Tariff


@dataclass(frozen=True)
class Recorded:
    """What the bench log says of a carrier's parcels: (service, zone) and postal codes as they are recorded."""

    lanes: frozenset[tuple[str, str]] = frozenset()
    codes: frozenset[str] = frozenset()


def record_findings(tariff: Tariff, recorded: Recorded) -> Iterator[Finding]:
    """Stops where the tariff and the records cannot mean the same places; notes where no record is concerned yet."""
    yield from _zone_findings(tariff, recorded)
    if recorded.codes:
        yield from _area_findings(tariff, {district(code) for code in recorded.codes})


def currency_findings(tariff: Tariff, currency: str) -> Iterator[Finding]:
    """Stops where the tariff's prices are in other money than the shop's."""
    if tariff.currency != currency:
        what = f"currency = {tariff.currency}, but the shop's is {currency}: its cents would count as the shop's"
        yield Finding(tariff.file, 1, "stop", what, "state the prices in the shop's currency")


def _zone_findings(tariff: Tariff, recorded: Recorded) -> Iterator[Finding]:
    for service in tariff.services:
        zones = {zone for name, zone in recorded.lanes if name == service.service}
        priced = set(tariff.zones(service.service))
        unpriced = sorted(zones - priced, key=lambda zone: (len(zone), zone))
        if not unpriced or EVERY_ZONE in priced:
            continue
        few = ", ".join(unpriced[:4]) + (f" and {len(unpriced) - 4} more" if len(unpriced) > 4 else "")
        what = f"the records of {service.service} have zone {few}, which has no price"
        level = "warn" if zones & priced else "stop"
        yield Finding(tariff.file, service.line, level, what, "add the prices, or write zones as the bench log does")


def _area_findings(tariff: Tariff, codes: set[str]) -> Iterator[Finding]:
    longest = max(map(len, codes))
    for area, entries in tariff.areas:
        listed = [prefix for entry in entries for prefix in prefixes(entry)]
        if min(map(len, listed)) > longest:
            what = f"area {area} lists {listed[0]}, but the records hold at most {longest} signs of a postal code"
            yield Finding(tariff.file, 1, "stop", what, "record longer postal codes, or list shorter ones")
        elif not any(begins(code, prefix) for prefix in listed for code in codes):
            what = f"area {area} matches none of the {len(codes)} postal codes in the records"
            yield Finding(tariff.file, 1, "warn", what, "compare how both write postal codes")
