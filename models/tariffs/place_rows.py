"""Delivery areas, zone charts and promised days of a tariff as rows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from models.tariffs.places import is_whole, prefixes
from models.tariffs.rules import Tariff

Row = dict[str, Any]


def place_rows(tariff: Tariff, tariff_key: int, count_before: int) -> tuple[list[Row], list[Row]]:
    """Prefixes that belong to some area, those with the same areas under one place key; and the areas of each place."""
    found: dict[str, set[str]] = {}
    for area, entries in tariff.areas:
        for prefix in (prefix for entry in entries for prefix in prefixes(entry)):
            found.setdefault(prefix, set()).add(area)
    members = {prefix: tuple(sorted(areas)) for prefix, areas in sorted(found.items())}
    keys = {areas: key for key, areas in enumerate(dict.fromkeys(members.values()), count_before + 1)}
    places = [
        {"tariff_key": tariff_key, "destination_prefix": prefix, "is_whole": is_whole(prefix), "place_key": keys[areas]}
        for prefix, areas in members.items()
    ]
    return places, [
        {"place_key": key, "tariff_key": tariff_key, "area": area} for areas, key in keys.items() for area in areas
    ]


def zone_rows(tariff: Tariff, tariff_key: int) -> list[Row]:
    """The zone chart as seen from where the shop ships: one row per service, or empty for all, and prefix."""
    found: dict[tuple[str, str], Row] = {}
    # Rows of a longer origin come last and win.
    for row in sorted(tariff.zone_chart, key=lambda each: len(each.origin)):
        for prefix in prefixes(row.destination):
            found[row.service, prefix] = {
                "tariff_key": tariff_key,
                "service": row.service,
                "destination_prefix": prefix,
                "is_whole": is_whole(prefix),
                "zone": row.zone,
            }
    return list(found.values())


def promise_rows(tariff: Tariff, services: Mapping[str, int]) -> list[Row]:
    """The days promised for each service and zone; the first row that names them counts.

    Zones are those with a price and those that rows name: where one price holds for all, some are reached sooner.
    """
    named = dict.fromkeys(zone for row in tariff.promises for zone in row.zones or ())
    found: dict[tuple[int, str], Row] = {}
    for row in tariff.promises:
        for service, key in services.items():
            for zone in dict.fromkeys((*tariff.zones(service), *named)):
                if row.holds_in(service, zone):
                    found.setdefault((key, zone), {"service_key": key, "zone": zone, "promised_days": row.days})
    return list(found.values())
