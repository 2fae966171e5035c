"""A literal reading of amounts: fixed, of the declared value, by weight, within bounds, to the cent."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import Any

WAYS = {"up": ROUND_CEILING, "nearest": ROUND_HALF_UP, "down": ROUND_FLOOR}
CENT = {"cents": 1, "way": "nearest"}


def rounded(cents: Decimal, way: dict[str, Any]) -> int:
    """The amount as a multiple of so many cents, rounded the stated way."""
    return int((cents / way["cents"]).quantize(Decimal(1), WAYS[way["way"]])) * int(way["cents"])


def standing(row: dict[str, Any], declared_value_cents: int, way: dict[str, Any]) -> tuple[int, int]:
    """What decides within a group: the amount where the row says so, else its rank."""
    return (
        bounded(row, fixed_cents(row, declared_value_cents, way)) if row.get("greatest") else -1,
        row.get("rank", 0),
    )


def is_fixed(row: dict[str, Any]) -> bool:
    """Whether the amount hangs neither on other charges nor on the billed weight."""
    return "per_weight" not in row and ("percent" not in row or row.get("of") == ["declared"])


def fixed_cents(row: dict[str, Any], declared_value_cents: int, way: dict[str, Any]) -> int:
    """A fixed amount, a share of the declared value, or so much for each step of it begun above the free value."""
    way = row.get("rounding", way)
    if "amount_cents" in row:
        return rounded(Decimal(row["amount_cents"]), way)
    if "percent" in row:
        return rounded(Decimal(declared_value_cents) * Decimal(row["percent"]) / 100, way)
    scheme = row["per_declared"]
    above = max(0, declared_value_cents - scheme["above_cents"])
    steps_begun = -(-above // scheme["step_cents"])
    return rounded(Decimal(steps_begun * scheme["amount_cents"]), way)


def by_weight(scheme: dict[str, Any], billed_weight: Decimal, way: dict[str, Any]) -> int:
    """So much for each step of billed weight begun above the free weight."""
    above = max(Decimal(0), billed_weight - Decimal(scheme.get("above", 0)))
    begun = (above / Decimal(scheme["step"])).to_integral_value(ROUND_CEILING)
    return rounded(begun * Decimal(scheme["amount_cents"]), way)


def by_missing_weight(row: dict[str, Any], missing: Decimal, way: dict[str, Any]) -> dict[str, Any]:
    """The row with its amount: so much for each step begun of the weight that is missing to its density."""
    scheme = row["per_missing_weight"]
    begun = (missing / Decimal(scheme["step"])).to_integral_value(ROUND_CEILING)
    return row | {"amount_cents": rounded(begun * Decimal(scheme["amount_cents"]), row.get("rounding", way))}


def bounded(row: dict[str, Any], amount_cents: int) -> int:
    """The amount, not above the row's most, then not below its least."""
    return max(min(amount_cents, int(row.get("at_most_cents", amount_cents))), int(row.get("at_least_cents", 0)))


def half_up(cents: Decimal) -> int:
    """A whole number of cents; half a cent goes up."""
    return int(cents.quantize(Decimal(1), ROUND_HALF_UP))
