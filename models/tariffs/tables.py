"""Tariffs as the tables that the rating reads: keys are dense, defaults are written out, ranges are spelt out.

What is spelt out here (prices per weight, seasons, scale bands) spares the rating range joins on every parcel.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd

from models.contracts import Contract, typed
from models.errors import TariffError
from models.tables.tariffs import TARIFFS
from models.tariffs.charges import Condition, Surcharge
from models.tariffs.claim_terms import claim_term_rows
from models.tariffs.condition_levels import MOST_BITS, Level, Levels, bits_needed, levels
from models.tariffs.discount_rows import discount_rows
from models.tariffs.places import is_whole, prefixes
from models.tariffs.rules import LENGTHS_PER_INCH, WEIGHTS_PER_POUND, Service, Tariff
from models.tariffs.service_rows import price_rows, scale_bands, service_row
from models.tariffs.share_rows import fuel_rows, tax_rows
from models.tariffs.shipments import once_rows, shipment_rows
from models.tariffs.surcharge_rows import (
    alternative_rows,
    class_rows,
    extra_rows,
    limit_rows,
    rounding_cells,
    scope_rows,
    season_rows,
    surcharge_row,
)

Row = dict[str, Any]


def tables(tariffs: Sequence[Tariff]) -> dict[str, pd.DataFrame]:
    """Every table of models/tables/tariffs.py by its name. Raises TariffError for too many distinct conditions."""
    rows: dict[str, list[Row]] = {str(schema.name): [] for schema in TARIFFS}
    for tariff_key, tariff in enumerate(tariffs, 1):
        for name, found in _tariff_rows(tariff, tariff_key, rows).items():
            rows[name] += found
    return {str(schema.name): _frame(rows[str(schema.name)], schema) for schema in TARIFFS}


def _frame(rows: list[Row], schema: Contract) -> pd.DataFrame:
    """The rows' columns of the contract, typed as it says; of no rows the names alone: most tables have none."""
    frame = pd.DataFrame(rows, columns=list(schema.columns))
    return typed(frame, schema) if rows else frame


def _tariff_rows(tariff: Tariff, tariff_key: int, before: dict[str, list[Row]]) -> dict[str, list[Row]]:
    """The rows of one tariff; keys go on from those of the tariffs before."""
    services = {each.service: len(before["shop.tariff_services"]) + n for n, each in enumerate(tariff.services, 1)}
    surcharges = list(enumerate(tariff.surcharges, len(before["shop.tariff_surcharges"]) + 1))
    own_levels = {services[each.service]: condition_levels(tariff, each) for each in tariff.services}
    fuel, fuel_bases = fuel_rows(
        tariff, services, len(before["shop.tariff_fuel"]), _last(before["shop.tariff_fuel_bases"], "fuel_basis_key")
    )
    places, areas = place_rows(tariff, tariff_key, _last(before["shop.tariff_places"], "place_key"))
    return {
        "shop.tariff_places": places,
        "shop.tariff_areas": areas,
        "shop.tariff_zones": zone_rows(tariff, tariff_key),
        "shop.tariff_promises": promise_rows(tariff, services),
        "shop.tariffs": [_tariff_row(tariff, tariff_key)],
        "shop.tariff_claim_terms": claim_term_rows(tariff_key, tariff.claim_days, tariff.claim_terms),
        "shop.tariff_services": [service_row(tariff, each, services, tariff_key) for each in tariff.services],
        "shop.tariff_scale_bands": scale_bands(tariff, services),
        "shop.tariff_prices": price_rows(tariff, services),
        "shop.tariff_seasons": season_rows(tariff, tariff_key, len(before["shop.tariff_seasons"])),
        "shop.tariff_fuel": fuel,
        "shop.tariff_fuel_bases": fuel_bases,
        "shop.tariff_tax": tax_rows(tariff, services),
        "shop.tariff_conditions": [
            _condition_row(key, *each) for key, own in own_levels.items() for each in own.items()
        ],
        "shop.tariff_limits": [
            row for each in tariff.services for row in limit_rows(each, *_own(services, own_levels, each.service))
        ],
        "shop.tariff_classes": [
            row
            for each in tariff.services
            for row in class_rows(tariff, each, *_own(services, own_levels, each.service))
        ],
        "shop.tariff_discounts": discount_rows(tariff, services),
        "shop.tariff_surcharges": [surcharge_row(tariff, row, key, tariff_key) for key, row in surcharges],
        "shop.tariff_scopes": [each for key, row in surcharges for each in scope_rows(tariff, row, key, services)],
        "shop.tariff_shipments": shipment_rows(tariff, services),
        "shop.tariff_shipment_charges": once_rows(tariff, services),
        "shop.tariff_extras": extra_rows(
            tariff, tariff_key, services, _last(before["shop.tariff_extras"], "extra_key")
        ),
        "shop.tariff_alternatives": [
            each for key, row in surcharges for each in _alternatives(row, key, services, own_levels)
        ],
    }


def _own(services: Mapping[str, int], own_levels: Mapping[int, Levels], service: str) -> tuple[int, Levels]:
    return services[service], own_levels[services[service]]


def _alternatives(row: Surcharge, key: int, services: Mapping[str, int], own_levels: Mapping[int, Levels]) -> list[Row]:
    own = [services[name] for name in services if row.holds_for(name)]
    return alternative_rows(row, key, {service_key: own_levels[service_key] for service_key in own})


def _last(rows: Sequence[Row], key: str) -> int:
    return max((int(row[key]) for row in rows), default=0)


def _condition_row(service_key: int, condition: Condition, level: Level) -> Row:
    found = {"service_key": service_key, "condition_bit": level.unit, "passed_milli": condition.passed_milli}
    return vars(condition) | found


def condition_levels(tariff: Tariff, service: Service) -> dict[Condition, Level]:
    """The levels of the service's conditions. Raises TariffError where they do not fit into one number."""
    conditions = tariff.conditions(service)
    if (needed := bits_needed(conditions)) > MOST_BITS:
        raise TariffError(
            tariff.file,
            f"states {len(conditions)} different conditions for {service.service}, which take {needed} bits; "
            f"the rating holds {MOST_BITS}",
            "every parcel of this service",
            "state equal thresholds equally, or split the service into two of other names",
        )
    return levels(conditions)


def _tariff_row(tariff: Tariff, tariff_key: int) -> Row:
    return {
        **vars(tariff),
        "tariff_key": tariff_key,
        "tariff_source": tariff.source,
        "length_per_in": float(LENGTHS_PER_INCH[tariff.length_unit]),
        "weight_per_lb": float(WEIGHTS_PER_POUND[tariff.weight_unit]),
        **rounding_cells(tariff.rounding),
        **rounding_cells(tariff.tax_rounding, "tax_"),
    }


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
