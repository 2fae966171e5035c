"""A literal reading of amounts: fixed, of the declared value, by weight, within bounds, to the cent."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from typing import Any


def standing(row: dict[str, Any], declared_value_cents: int) -> tuple[int, int]:
    """What decides within a group: the amount where the row says so, else its rank."""
    return (bounded(row, fixed_cents(row, declared_value_cents)) if row.get("greatest") else -1, row.get("rank", 0))


def is_fixed(row: dict[str, Any]) -> bool:
    """Whether the amount hangs neither on other charges nor on the billed weight."""
    return "per_weight" not in row and ("percent" not in row or row.get("of") == ["declared"])


def fixed_cents(row: dict[str, Any], declared_value_cents: int) -> int:
    """A fixed amount, a share of the declared value, or so much for each step of it begun above the free value."""
    if "amount_cents" in row:
        return int(row["amount_cents"])
    if "percent" in row:
        return half_up(Decimal(declared_value_cents) * Decimal(row["percent"]) / 100)
    scheme = row["per_declared"]
    above = max(0, declared_value_cents - scheme["above_cents"])
    steps_begun = -(-above // scheme["step_cents"])
    return int(steps_begun * scheme["amount_cents"])


def by_weight(scheme: dict[str, Any], billed_weight: Decimal) -> int:
    """So much for each step of billed weight begun above the free weight."""
    above = max(Decimal(0), billed_weight - Decimal(scheme.get("above", 0)))
    begun = (above / Decimal(scheme["step"])).to_integral_value(ROUND_CEILING)
    return half_up(begun * Decimal(scheme["amount_cents"]))


def bounded(row: dict[str, Any], amount_cents: int) -> int:
    """The amount, not above the row's most, then not below its least."""
    return max(min(amount_cents, int(row.get("at_most_cents", amount_cents))), int(row.get("at_least_cents", 0)))


def half_up(cents: Decimal) -> int:
    """A whole number of cents; half a cent goes up."""
    return int(cents.quantize(Decimal(1), ROUND_HALF_UP))
