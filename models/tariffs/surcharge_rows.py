"""Surcharges, limits, options, events and seasons of a tariff as rows."""

from collections.abc import Mapping, Sequence
from datetime import timedelta
from itertools import pairwise
from typing import Any

from models.tariffs.charges import Condition, Discount, Extra, Rounding, Surcharge
from models.tariffs.condition_levels import Levels, patterns
from models.tariffs.rules import Service, Tariff

Row = dict[str, Any]
DAY = timedelta(days=1)


def surcharge_row(tariff: Tariff, row: Surcharge, key: int, tariff_key: int) -> Row:
    """One surcharge row with its defaults written out."""
    declared, per_weight, missing = (_cells(each) for each in (row.declared, row.per_weight, row.missing))
    return {
        **_dated(tariff, row),
        "surcharge_key": key,
        "tariff_key": tariff_key,
        "surcharge_number": tariff.surcharges.index(row) + 1,
        "is_residential_only": row.is_residential,
        "share_millionths": None if row.is_of_declared else row.share_millionths,
        "declared_share_millionths": row.share_millionths if row.is_of_declared else None,
        "is_of_base": row.share_millionths is not None and "base" in row.of,
        "is_of_surcharge": row.share_millionths is not None and "surcharge" in row.of,
        "above_cents": declared.get("above_cents"),
        "step_cents": declared.get("step_cents"),
        "step_amount_millicents": declared.get("amount_millicents"),
        "charge_group": row.group,
        "charge_rank": row.rank,
        "per_weight_above_milli": per_weight.get("above_milli"),
        "per_weight_step_milli": per_weight.get("step_milli"),
        "per_weight_millicents": per_weight.get("amount_millicents"),
        "missing_step_milli": missing.get("step_milli"),
        "missing_millicents": missing.get("amount_millicents"),
    }


def _cells(steps: object | None) -> Row:
    return vars(steps) if steps else {}


def _dated(tariff: Tariff, row: Surcharge | Extra) -> Row:
    """What the row states under the table's own names, its days, its amount and how that is rounded."""
    first, last = tariff.days(row)
    stated = {"valid_from": first, "valid_to": last, "fixed_cents": row.amount_cents}
    return vars(row) | stated | rounding_cells(row.rounding)


def rounding_cells(rounding: Rounding, prefix: str = "") -> Row:
    """How an amount is rounded, as the SQL fragment {amount ...} reads it."""
    return {f"{prefix}rounding_cents": rounding.cents, f"{prefix}rounding_bias": rounding.bias_millionths}


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
    return _dated(tariff, row) | {"tariff_key": tariff_key, "is_of_declared": row.of == "declared"}


def _scope(tariff: Tariff, row: Surcharge | Extra, services: Mapping[str, int]) -> list[Row]:
    return [
        {"service_key": service_key, "zone": zone}
        for service, service_key in services.items()
        for zone in tariff.zones(service)
        if row.holds_in(service, zone)
    ]


def alternative_rows(row: Surcharge, key: int, services: Mapping[int, Levels]) -> list[Row]:
    """The row's alternatives in each service as patterns of condition bits: any one of them suffices."""
    return [
        {
            "surcharge_key": key,
            "service_key": service_key,
            "alternative": number,
            **pattern,
            "measure": alternative[0].measure if alternative else None,
            "threshold_milli": alternative[0].threshold_milli if alternative else None,
        }
        for service_key, own in services.items()
        for number, alternative in enumerate(row.when, 1)
        for pattern in masks(alternative, own)
    ]


def masks(conditions: Sequence[Condition], own: Levels) -> list[dict[str, int]]:
    """The bits to look at, and what they must be, for all of the conditions to hold."""
    return [{"decisive": decisive, "mask": mask} for decisive, mask in patterns(conditions, own)]


def limit_rows(service: Service, service_key: int, own: Levels) -> list[Row]:
    """What the service does not carry."""
    beyond = [(f"beyond limit: {name}", Condition(name, False, most)) for name, most in service.limits]
    short = [(f"below minimum: {name}", Condition(name, False, least, True)) for name, least in service.minimums]
    return [
        {"service_key": service_key, "beyond": words, **pattern}
        for words, condition in (*beyond, *short)
        for pattern in masks([condition], own)
    ]


def class_rows(tariff: Tariff, service: Service, service_key: int, own: Levels) -> list[Row]:
    """The sizes that the service's prices go by, in their order."""
    return [
        {"service_key": service_key, "class_number": number, "price_size": row.size_class, **pattern}
        for number, row in enumerate(tariff.classes_of(service), 1)
        for pattern in masks([Condition(measure, True, most, True) for measure, most in row.at_most], own)
    ]


def season_rows(tariff: Tariff, tariff_key: int, count_before: int) -> list[Row]:
    """The tariff's days, parted wherever a surcharge or discount begins or ends."""
    rows: list[Surcharge | Discount] = [*tariff.surcharges, *tariff.discounts]
    spans = [(tariff.effective_from, tariff.last_on), *map(tariff.days, rows)]
    changes = {day for first, last in spans for day in (first, last + DAY)}
    days = sorted(day for day in changes if tariff.effective_from <= day <= tariff.last_on + DAY)
    return [
        {"season_key": count_before + number, "tariff_key": tariff_key, "valid_from": first, "valid_to": before - DAY}
        for number, (first, before) in enumerate(pairwise(days), 1)
    ]
