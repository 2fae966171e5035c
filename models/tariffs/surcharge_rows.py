"""Surcharges, limits, discounts, fuel and seasons of a tariff as rows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from models.tariffs.rules import Condition, Discount, Extra, Service, Surcharge, Tariff

Row = dict[str, Any]
DAY = timedelta(days=1)


def surcharge_row(tariff: Tariff, row: Surcharge, key: int, tariff_key: int) -> Row:
    """One surcharge row with its defaults written out."""
    declared = row.declared
    return {
        "surcharge_key": key,
        "tariff_key": tariff_key,
        "surcharge_number": tariff.surcharges.index(row) + 1,
        "surcharge": row.surcharge,
        "charge_code": row.charge_code,
        "is_residential_only": row.is_residential,
        "area": row.area,
        "valid_from": row.valid_from or tariff.effective_from,
        "valid_to": row.valid_to or tariff.last_on,
        "fixed_cents": row.amount_cents,
        "share_millionths": row.share_millionths,
        "is_of_base": row.share_millionths is not None and "base" in row.of,
        "is_of_surcharge": row.share_millionths is not None and "surcharge" in row.of,
        "above_cents": declared.above_cents if declared else None,
        "step_cents": declared.step_cents if declared else None,
        "step_amount_cents": declared.amount_cents if declared else None,
        "charge_group": row.group,
        "charge_rank": row.rank,
        "minimum_weight_milli": row.minimum_weight_milli,
        "at_most_cents": row.at_most_cents,
    }


def scope_rows(tariff: Tariff, row: Surcharge, key: int, services: Mapping[str, int]) -> list[Row]:
    """Every service and priced zone in which the row can be charged."""
    return [{"surcharge_key": key} | place for place in _scope(tariff, row, services)]


def extra_rows(tariff: Tariff, tariff_key: int, services: Mapping[str, int], count_before: int) -> list[Row]:
    """Every option and event in each service and priced zone in which it may be billed."""
    return [
        _extra_row(tariff, row, tariff_key) | {"extra_key": count_before + number} | place
        for number, row in enumerate(tariff.extras, 1)
        for place in _scope(tariff, row, services)
    ]


def _extra_row(tariff: Tariff, row: Extra, tariff_key: int) -> Row:
    return {
        "tariff_key": tariff_key,
        "extra_kind": row.extra_kind,
        "charge_name": row.charge_name,
        "charge_code": row.charge_code,
        "valid_from": row.valid_from or tariff.effective_from,
        "valid_to": row.valid_to or tariff.last_on,
        "fixed_cents": row.amount_cents,
        "share_millionths": row.share_millionths,
        "is_of_declared": row.of == "declared",
        "at_least_cents": row.at_least_cents,
        "at_most_cents": row.at_most_cents,
    }


def _scope(tariff: Tariff, row: Surcharge | Extra, services: Mapping[str, int]) -> list[Row]:
    return [
        {"service_key": service_key, "zone": zone}
        for service, service_key in services.items()
        if service in (row.services or (service,))
        for zone in tariff.zones(service)
        if zone in (row.zones or (zone,))
    ]


Bits = Mapping[Condition, int]


def alternative_rows(row: Surcharge, key: int, services: Mapping[int, Bits]) -> list[Row]:
    """The row's alternatives in each service: the condition bits to look at, and those of them that must hold."""
    return [
        {
            "surcharge_key": key,
            "service_key": service_key,
            "alternative": number,
            **masks(alternative, bits),
            "measure": alternative[0].measure if alternative else None,
            "threshold_milli": alternative[0].threshold_milli if alternative else None,
        }
        for service_key, bits in services.items()
        for number, alternative in enumerate(row.when, 1)
    ]


def masks(conditions: Sequence[Condition], bits: Bits) -> dict[str, int]:
    """The bits to look at, and what they must be, for all of the conditions to hold."""
    wanted = {bits[each.upward] for each in conditions if not each.is_below}
    unwanted = {bits[each.upward] for each in conditions if each.is_below}
    # What is wanted and unwanted at once is not looked at, so that the two numbers can never be equal.
    return {"looked_at": sum(wanted ^ unwanted), "mask": sum(wanted)}


def limit_rows(service: Service, service_key: int, bits: Bits) -> list[Row]:
    """What the service does not carry."""
    beyond = [(f"beyond limit: {name}", Condition(name, False, most)) for name, most in service.limits]
    short = [(f"below minimum: {name}", Condition(name, False, least, True)) for name, least in service.minimums]
    return [
        {"service_key": service_key, "beyond": words, **masks([condition], bits)}
        for words, condition in (*beyond, *short)
    ]


def class_rows(tariff: Tariff, service: Service, service_key: int, bits: Bits) -> list[Row]:
    """The sizes that the service's prices go by, in their order."""
    return [
        {"service_key": service_key, "class_number": number, "size_class": row.size_class}
        | masks([Condition(measure, True, most, True) for measure, most in row.at_most], bits)
        for number, row in enumerate(tariff.classes_of(service), 1)
    ]


def discount_rows(tariff: Tariff, services: Mapping[str, int]) -> list[Row]:
    """For each service and discounted line the days on which each row counts: the latest row replaces the earlier."""
    found = []
    for service, service_key in services.items():
        rows = [row for row in tariff.discounts if service in (row.services or (service,))]
        for target in dict.fromkeys(target for row in rows for target in row.on):
            kind, _, name = target.partition(":")
            latest = {row.valid_from or tariff.effective_from: row for row in rows if target in row.on}
            found += [
                _discount_row(row, first, last)
                | {"service_key": service_key, "target_kind": kind, "target_surcharge": name}
                for row, first, last in _spans(latest, tariff.last_on)
            ]
    return found


def _discount_row(row: Discount, first: date, last: date) -> Row:
    return {
        "share_millionths": row.share_millionths,
        "minimum_charge_cents": row.minimum_charge_cents,
        "valid_from": first,
        "valid_to": last,
    }


def _spans(starts: Mapping[date, Any], last: date) -> list[tuple[Any, date, date]]:
    """Each value with the first and last day on which it is the latest that has started."""
    days = sorted(starts)
    ends = [day - DAY for day in days[1:]] + [last]
    return [(starts[day], day, end) for day, end in zip(days, ends, strict=True) if day <= end]


def fuel_rows(tariff: Tariff, tariff_key: int, count_before: int) -> list[Row]:
    """The fuel share of each span of days."""
    starts = {row.valid_from: row for row in reversed(tariff.fuel)}
    return [
        {
            "fuel_key": count_before + number,
            "tariff_key": tariff_key,
            "valid_from": first,
            "valid_to": last,
            "share_millionths": row.share_millionths,
            "is_of_base": "base" in row.on,
            "is_of_surcharge": "surcharge" in row.on,
        }
        for number, (row, first, last) in enumerate(_spans(starts, max(tariff.last_on, *starts)) if starts else [], 1)
    ]


def season_rows(tariff: Tariff, tariff_key: int, count_before: int) -> list[Row]:
    """The tariff's days, parted wherever a surcharge or discount begins or ends."""
    changes: set[date] = {tariff.effective_from, tariff.last_on + DAY}
    changes |= {row.valid_from for row in tariff.surcharges if row.valid_from}
    changes |= {row.valid_from for row in tariff.discounts if row.valid_from}
    changes |= {row.valid_to + DAY for row in tariff.surcharges if row.valid_to}
    days = sorted(day for day in changes if tariff.effective_from <= day <= tariff.last_on + DAY)
    return [
        {
            "season_key": count_before + number,
            "tariff_key": tariff_key,
            "valid_from": first,
            "valid_to": before - DAY,
        }
        for number, (first, before) in enumerate(pairwise(days), 1)
    ]
