"""A literal reading of a price list: the row of a weight, every zone's price, steps beyond the last."""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal
from typing import Any

from sample_data.literal_amounts import half_up

Bands = list[tuple[Decimal, int]]


def priced_zone(zone: str, lanes: set[tuple[str, ...]], service: str) -> str:
    """The zone itself where it has prices in the service, else that of every zone."""
    return zone if any(lane[:2] == (service, zone) for lane in lanes) else "*"


def price(bands: Bands, further: list[dict[str, Any]], billed_weight: Decimal) -> int | None:
    """The price of the smallest weight row that is not below the billed weight, or of the steps beyond the last."""
    for up_to_weight, price_cents in bands:
        if billed_weight <= up_to_weight:
            return price_cents
    if not bands:
        return None
    weight, cents = bands[-1][0], Decimal(bands[-1][1])
    for row in sorted(further, key=lambda each: Decimal(each["up_to"])):
        end = Decimal(row["up_to"])
        if end <= weight:
            continue
        begun = ((min(billed_weight, end) - weight) / Decimal(row["step"])).to_integral_value(ROUND_CEILING)
        cents, weight = cents + begun * Decimal(row["amount_cents"]), end
        if billed_weight <= end:
            return half_up(cents)
    return None
