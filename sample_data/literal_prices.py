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
    if not bands or not further or billed_weight > Decimal(further[0]["up_to"]):
        return None
    weight, cents = bands[-1]
    steps = ((billed_weight - weight) / Decimal(further[0]["step"])).to_integral_value(ROUND_CEILING)
    return half_up(cents + steps * Decimal(further[0]["amount_cents"]))
