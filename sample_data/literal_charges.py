"""A literal reading of charge lines: base price, surcharges, discounts, fuel and tax, in the format's order."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, Any

from sample_data.literal_amounts import CENT, bounded, by_weight, fixed_cents, is_fixed, rounded
from sample_data.literal_prices import priced_zone

if TYPE_CHECKING:
    from sample_data.literal_rating import Parcel, Tariff


@dataclass(frozen=True)
class Line:
    """One expected charge line: kind base, surcharge, fuel or tax; name of the kind or the surcharge, or discount.

    of: the surcharge that a discount is on; else the name.
    """

    kind: str
    name: str
    charge_code: str
    amount_cents: int
    discounted: str = ""

    @property
    def of(self) -> str:
        """The surcharge that the line is of, or reduces."""
        return self.discounted or self.name


def charge_lines(
    parcel: Parcel, tariff: Tariff, rows: list[dict[str, Any]], base_cents: int, billed_weight: Decimal
) -> list[Line]:
    """Base and fixed surcharges, their discounts, percent surcharges, fuel; lines of nothing are left out.

    A percent surcharge is taken on the lines before all percent surcharges; a discount on a surcharge is taken on
    its fixed amount and has the kind surcharge.
    """
    way = tariff.rules.get("rounding", CENT)
    lines = [Line("base", "base", "", base_cents)]
    lines += [surcharge_line(row, fixed_cents(row, parcel.declared_value_cents, way)) for row in rows if is_fixed(row)]
    lines += discount_lines(parcel, tariff, lines, billed_weight)
    before = list(lines)
    for row in rows:
        if "per_weight" in row:
            full = by_weight(row["per_weight"], billed_weight, row.get("rounding", way))
            lines.append(less_discount(parcel, tariff, surcharge_line(row, full), billed_weight))
        elif not is_fixed(row):
            full = percent_of(row["percent"], row.get("of", ["base"]), before, row.get("rounding", way))
            lines.append(less_discount(parcel, tariff, surcharge_line(row, full), billed_weight))
    fuel_rows = [
        row
        for row in tariff.rules.get("fuel", [])
        if row["from"] <= parcel.shipped_on and parcel.service in row.get("services", [parcel.service])
    ]
    if fuel_rows:
        fuel = max(fuel_rows, key=lambda row: row["from"])
        left = 1 - joint_share(counting(parcel, tariff, "fuel", billed_weight))
        percent = (Decimal(fuel["percent"]) * left).quantize(Decimal("0.0001"), ROUND_HALF_UP)
        lines.append(Line("fuel", "fuel", "", percent_of(percent, fuel["on"], lines, way)))
    lines.append(Line("tax", "tax", "", tax_cents(parcel, tariff, sum(line.amount_cents for line in lines))))
    return [line for line in lines if line.amount_cents]


def tax_cents(parcel: Parcel, tariff: Tariff, charged_cents: int) -> int:
    """What tax adds to what the shop bears: none where it is reclaimed, and what prices contain of it comes back."""
    rules = tariff.rules
    zone = priced_zone(parcel.zone, {*tariff.prices, *tariff.sized}, parcel.service)
    rows = [
        row
        for row in rules.get("tax", [])
        if row["from"] <= parcel.shipped_on
        and parcel.service in row.get("services", [parcel.service])
        and zone in row.get("zones", [zone])
    ]
    share = Decimal(max(rows, key=lambda row: row["from"])["percent"]) / 100 if rows else Decimal(0)
    if rules.get("tax_in_prices", False):
        return -rounded(charged_cents * share / (1 + share), CENT) if rules.get("tax_reclaimable", False) else 0
    if rules.get("tax_reclaimable", False):
        return 0
    return rounded(charged_cents * share, rules.get("tax_rounding", CENT))


def surcharge_line(row: dict[str, Any], amount_cents: int) -> Line:
    """The surcharge's line within its bounds."""
    return Line("surcharge", row["surcharge"], row["charge_code"], bounded(row, amount_cents))


def less_discount(parcel: Parcel, tariff: Tariff, line: Line, billed_weight: Decimal) -> Line:
    """A surcharge that is a share, or an amount by weight, is one line with its discount."""
    off = discount_cents(parcel, tariff, f"surcharge:{line.name}", line.amount_cents, billed_weight)
    return replace(line, amount_cents=line.amount_cents - off)


def discount_lines(parcel: Parcel, tariff: Tariff, lines: list[Line], billed_weight: Decimal) -> list[Line]:
    """One negative line for each discounted kind of line before shares of others."""
    discounts = []
    for target in dict.fromkeys(target for row in tariff.rules.get("discounts", []) for target in row["on"]):
        kind, _, name = target.partition(":")
        full = sum(line.amount_cents for line in lines if line.kind == kind and line.name == (name or "base"))
        cents = discount_cents(parcel, tariff, target, full, billed_weight)
        discounts.append(Line(kind, "discount", "", -cents, name))
    return discounts


def discount_cents(parcel: Parcel, tariff: Tariff, target: str, full: int, billed_weight: Decimal) -> int:
    """What the discounts on one kind of line take off an amount."""
    rows = counting(parcel, tariff, target, billed_weight)
    if not rows:
        return 0
    wanted = rounded(full * joint_share(rows), rows[-1].get("rounding", tariff.rules.get("rounding", CENT)))
    least = max(int(row.get("minimum_charge_cents", 0)) for row in rows)
    return min(wanted, max(0, full - least))


def counting(parcel: Parcel, tariff: Tariff, target: str, billed_weight: Decimal) -> list[dict[str, Any]]:
    """The rows that count, in the order of the file: of those that are not stacked the latest, and all that are."""
    zone = priced_zone(parcel.zone, {*tariff.prices, *tariff.sized}, parcel.service)
    valid = [
        row
        for row in tariff.rules.get("discounts", [])
        if target in row["on"]
        and row.get("from", dt.date.min) <= parcel.shipped_on <= row.get("to", dt.date.max)
        and zone in row.get("zones", [zone])
        and parcel.service in row.get("services", [parcel.service])
        and row.get("above_weight", -1) < billed_weight <= row.get("up_to_weight", billed_weight)
    ]
    alone = [row for row in valid if "stacked" not in row]
    latest = [max(reversed(alone), key=lambda row: row.get("from", dt.date.min))] if alone else []
    return [row for row in valid if "stacked" in row or row in latest]


def joint_share(rows: list[dict[str, Any]]) -> Decimal:
    """The percentages added, then those taken off what is left, to a millionth; not more than all."""
    left = 1 - sum((Decimal(row["percent"]) / 100 for row in rows if row.get("stacked") != "after"), Decimal(0))
    for row in rows:
        left *= 1 - Decimal(row["percent"]) / 100 if row.get("stacked") == "after" else 1
    return (1 - max(left, Decimal(0))).quantize(Decimal("0.000001"), ROUND_HALF_UP)


def percent_of(percent: Decimal | int, on: list[str], lines: list[Line], way: dict[str, Any]) -> int:
    """The percentage of the sum of the lines of those kinds or of those surcharges, rounded the stated way."""
    taken = [line.amount_cents for line in lines if line.kind in on or f"{line.kind}:{line.of}" in on]
    return rounded(Decimal(sum(taken)) * Decimal(percent) / 100, way)
