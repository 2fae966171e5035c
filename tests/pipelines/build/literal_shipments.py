"""A literal reading of the tariff format's rules for shipments, over the literal reading of one parcel."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal
from typing import Any

from sample_data import literal_rating
from sample_data.literal_amounts import CENT, bounded, rounded
from sample_data.literal_charges import counting, discount_cents, joint_share
from sample_data.literal_rating import Parcel, Rated, Tariff

# What is expected by kind and name of charge; None for a base price beyond the prices.
Amounts = dict[tuple[str, str], int | None]


def rate_together(parcels: Sequence[Parcel], tariff: Tariff) -> Amounts | None:
    """What the tariff charges for the parcels of one shipment; None where it has no rule, or does not carry one."""
    service = parcels[0].service
    rules = [
        row
        for row in tariff.rules.get("shipments", [])
        if service in row.get("services", [service]) and row.get("parcels_at_least", 2) <= len(parcels)
    ]
    found = [literal_rating.rate(parcel, tariff) for parcel in parcels]
    if not rules or any(each.reason for each in found):
        return None
    rule = max(rules, key=lambda row: row.get("parcels_at_least", 2))
    base = total_price(rule, parcels, found, tariff) if rule["base"] == "total" else price_of_each(rule, found, tariff)
    if base is None:
        return {("base", "base"): None}
    base = max(base, rule.get("minimum_cents", 0))
    amounts: Amounts = {("base", "base"): base}
    for name in dict.fromkeys(row["surcharge"] for row in tariff.rules.get("surcharges", [])):
        cents = surcharge(name, rule, base, parcels, found, tariff)
        if cents is not None:
            amounts["surcharge", name] = cents
    amounts["fuel", "fuel"] = fuel(amounts, parcels[0], tariff)
    return {charge: cents for charge, cents in amounts.items() if cents}


def net(rated: Rated, kind: str, name: str) -> int:
    """The lines of a charge, its discount with it."""
    return sum(line.amount_cents for line in rated.lines if line.kind == kind and (kind == "base" or line.of == name))


def price_of_each(rule: dict[str, Any], found: Sequence[Rated], tariff: Tariff) -> int:
    """Each parcel's own price; the most expensive one is the first."""
    way = rule.get("rounding", tariff.rules.get("rounding", CENT))
    total = 0
    for place, cents in enumerate(sorted((net(each, "base", "base") for each in found), reverse=True)):
        less = rule.get("less_cents", rounded(Decimal(cents) * Decimal(rule.get("less_percent", 0)) / 100, way))
        total += cents - (min(cents, less) if place or rule.get("less_on") == "all" else 0)
    return total


def total_price(rule: dict[str, Any], parcels: Sequence[Parcel], found: Sequence[Rated], tariff: Tariff) -> int | None:
    """One price for the weight of all, less its discount."""
    service = next(row for row in tariff.rules["services"] if row["service"] == parcels[0].service)
    scale = [
        literal_rating.measured(parcel, tariff, service, Rated(sides=each.sides))["scale_weight"]
        for parcel, each in zip(parcels, found, strict=True)
    ]
    dims = [each.dim_weight.quantize(literal_rating.MILLI) for each in found]
    added = {
        "rounded": sum((each.rated_weight for each in found), Decimal(0)),
        "greater": sum(map(max, scale, dims), Decimal(0)),
        "together": max(sum(scale, Decimal(0)), sum(dims, Decimal(0))),
    }[rule["weight"]]
    step = Decimal(service["weight_step"])
    heaviest = max(added, Decimal(service.get("minimum_weight", 0)))
    billed = (heaviest / step).to_integral_value(ROUND_CEILING) * step
    cents = literal_rating.base_price(parcels[0], tariff, billed, "")
    return None if cents is None else cents - discount_cents(parcels[0], tariff, "base", cents, billed)


def surcharge(
    name: str, rule: dict[str, Any], base: int, parcels: Sequence[Parcel], found: Sequence[Rated], tariff: Tariff
) -> int | None:
    """The surcharge for each parcel, or once; None where its share of the base price cannot be said."""
    rows = [row for row in tariff.rules["surcharges"] if row["surcharge"] == name]
    is_share = any("percent" in row and "base" in row.get("of", ["base"]) for row in rows)
    changes_base = rule["base"] == "total" or any(
        rule.get(key) for key in ("less_cents", "less_percent", "minimum_cents")
    )
    cents = [net(each, "surcharge", name) for each in found]
    if name in rule.get("once", []) and is_share:
        service = next(row for row in tariff.rules["services"] if row["service"] == parcels[0].service)
        borne = [
            row
            for parcel, each in zip(parcels, found, strict=True)
            for row in literal_rating.charged_rows(
                parcel, tariff, literal_rating.measured(parcel, tariff, service, Rated(sides=each.sides))
            )
        ]
        way = tariff.rules.get("rounding", CENT)
        return sum(
            bounded(row, rounded(Decimal(base) * Decimal(row["percent"]) / 100, row.get("rounding", way)))
            for row in rows
            if row in borne
        )
    if is_share and changes_base:
        return None
    return max(cents) if name in rule.get("once", []) else sum(cents)


def fuel(amounts: Amounts, parcel: Parcel, tariff: Tariff) -> int:
    """Fuel on the sum of what it is taken on."""
    rows = [
        row
        for row in tariff.rules.get("fuel", [])
        if row["from"] <= parcel.shipped_on and parcel.service in row.get("services", [parcel.service])
    ]
    if not rows:
        return 0
    row = max(rows, key=lambda each: each["from"])
    taken = sum(
        cents or 0 for (kind, name), cents in amounts.items() if kind in row["on"] or f"{kind}:{name}" in row["on"]
    )
    left = 1 - joint_share(counting(parcel, tariff, "fuel", Decimal(0)))
    percent = (Decimal(row["percent"]) * left).quantize(Decimal("0.0001"))
    return rounded(Decimal(taken) * percent / 100, tariff.rules.get("rounding", CENT))
