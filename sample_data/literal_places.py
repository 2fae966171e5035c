"""A literal reading of what a tariff says of places and sizes: postal codes, conditions, size classes."""

from __future__ import annotations

import re
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from typing import Any

UNITED_KINGDOM = re.compile(r"^([A-Z]{1,2}[0-9][0-9A-Z]?)[0-9][A-Z]{2}$")


def areas_of(code: str, areas: dict[str, list[str]]) -> set[str]:
    """The areas in which the code lies: those with the entry that says most of the code."""
    fitting = [(said(code, entry), area) for area, entries in areas.items() for entry in entries]
    most = max((length for length, _ in fitting), default=0)
    return {area for length, area in fitting if length and length == most}


def zone_of(code: str, chart: list[dict[str, str]]) -> str | None:
    """The zone of the row that says most of the code."""
    rows = [row for row in chart if said(code, row["destination"])]
    return max(rows, key=lambda row: said(code, row["destination"]))["zone"] if rows else None


def said(code: str, entry: str) -> int:
    """How many signs of the code the entry fixes; 0 where it does not fit."""
    district = as_listed(code)
    if ".." not in entry:
        return fixed(district, entry)
    low, high = entry.split("..")
    if low.isdigit():
        # The fewest leading figures that prove the code to be within, whatever follows them.
        for length in range(1, min(len(low), len(district)) + 1):
            missing = len(low) - length
            head = district[:length]
            if head.isdigit() and low <= head + "0" * missing and head + "9" * missing <= high:
                return length
        return 0
    letters = re.match("[A-Z]*", low).group()  # type: ignore[union-attr]
    ends = int(low[len(letters) :]), int(high[len(letters) :])
    found = re.match(f"{letters}([0-9]+)", district)
    return len(found.group()) if found and ends[0] <= int(found[1]) <= ends[1] else 0


def as_listed(code: str) -> str:
    """The code as lists of districts write it: a code of letters without its second part."""
    plain = code.upper().replace("-", "")
    if plain[:1].isalpha() and " " in plain.strip():
        return plain.split()[0]
    plain = plain.replace(" ", "")
    whole = UNITED_KINGDOM.match(plain)
    return whole[1] if whole else plain


def fixed(district: str, entry: str) -> int:
    """The length of the entry where the district begins with it; IV1 is no beginning of IV12."""
    goes_on = district[len(entry) : len(entry) + 1].isdigit() and entry[0].isalpha() and entry[-1].isdigit()
    return len(entry) if district.startswith(entry) and not goes_on else 0


def rounded_sides(sides_in: tuple[float, ...], unit: Decimal, rounding: str) -> tuple[Decimal, ...]:
    """Sides in the tariff's unit after its side rounding, longest first."""
    exact = [(Decimal(str(side)) * unit).quantize(Decimal("0.001"), ROUND_HALF_UP) for side in sides_in]
    if rounding != "none":
        how = ROUND_CEILING if rounding == "up" else ROUND_HALF_UP
        exact = [side.quantize(Decimal(1), how) for side in exact]
    return tuple(sorted(exact, reverse=True))


def holds(condition: dict[str, Any], measures: dict[str, Decimal], is_rectangular: bool) -> bool:
    """Whether one condition of a surcharge row is met."""
    if "rectangular" in condition:
        return bool(condition["rectangular"]) == is_rectangular
    value = measures[condition["measure"]]
    for comparison, met in (("more_than", value.__gt__), ("at_least", value.__ge__), ("less_than", value.__lt__)):
        if comparison in condition:
            return met(Decimal(condition[comparison]))
    return value <= Decimal(condition["at_most"])


def size_class(rules: dict[str, Any], service: str, measures: dict[str, Decimal]) -> str | None:
    """The first size that the parcel fits; empty where prices do not go by sizes, None where it fits none."""
    sizes = [row for row in rules.get("classes", []) if service in row.get("services", [service])]
    fitting = [
        row for row in sizes if all(measures[measure] <= Decimal(most) for measure, most in row["at_most"].items())
    ]
    return fitting[0]["class"] if fitting else None if sizes else ""
