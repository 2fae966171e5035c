"""What the carriers billed: the tariff's lines on the true sides, except where an error was planted."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from sample_data.literal_charges import Line, charge_lines
from sample_data.literal_rating import Parcel, Rated, Tariff, charged_rows, measured, rate
from sample_data.packing import Packed, Sides

CODES = {
    "Northline": {
        "base": "TRANSPORT",
        "base discount": "DISCOUNT",
        "surcharge discount": "DISCOUNT LONG",
        "fuel": "FUEL",
    },
    "Corvane": {"base": "CARRIAGE", "base discount": "REBATE", "fuel": "FUEL PART"},
}
# Codes that are no surcharge of a tariff: carrier, code, kind.
OTHER_CODES = (
    ("Northline", "ADJUST SIZE", "adjustment"), ("Northline", "ADJUSTMENT", "adjustment"),
    ("Northline", "ADDRESS FIX", "adjustment"), ("Northline", "SERVICE CREDIT", "credit"),
    ("Northline", "PICKUP FEE", "surcharge"), ("Northline", "TAX", "tax"),
    ("Corvane", "ADJUST SIZE", "adjustment"), ("Corvane", "ADJUSTMENT", "adjustment"),
    ("Corvane", "ACCOUNT FEE", "surcharge"),
)  # fmt: skip


# Corvane's invoice for July 2026 came a month late.
LATE_INVOICES = {"CV-2026-07": dt.timedelta(days=30)}


@dataclass
class ChargeLine:
    """One invoice line; weight and sides in the carrier's own unit (Northline lb and in, Corvane kg and cm)."""

    carrier: str
    invoice_number: str
    invoiced_on: dt.date
    charge_code: str
    amount_cents: int
    parcel_id: str | None = None
    sale_id: str | None = None
    shipped_on: dt.date | None = None
    service: str | None = None
    zone: str | None = None
    billed_weight: float | None = None
    billed_sides: tuple[float, float, float] | None = None
    line_number: int = 0


def invoice_of(carrier: str, shipped_on: dt.date) -> tuple[str, dt.date]:
    """Northline bills weeks from Friday to Thursday on the Monday after; Corvane a month on the third of the next."""
    if carrier == "Corvane":
        first_of_next = (shipped_on.replace(day=1) + dt.timedelta(days=32)).replace(day=1)
        number = f"CV-{shipped_on:%Y-%m}"
        return number, first_of_next + dt.timedelta(days=2) + LATE_INVOICES.get(number, dt.timedelta())
    thursday = shipped_on + dt.timedelta(days=(3 - shipped_on.weekday()) % 7)
    return f"NL-{thursday:%Y%m%d}", thursday + dt.timedelta(days=4)


def facts(parcel: Packed, sides_in: Sides | None = None, zone: str = "", weight_lb: float | None = None) -> Parcel:
    """The parcel as the carrier saw it: its true sides and weight unless others are given."""
    return Parcel(
        service=parcel.service,
        zone=zone or parcel.zone,
        shipped_on=parcel.shipped_on,
        sides_in=sides_in or parcel.true_sides_in,
        scale_weight_lb=parcel.true_weight_lb if weight_lb is None else weight_lb,
        is_rectangular=parcel.is_rectangular,
        is_residential=parcel.is_residential,
        destination_prefix=parcel.sale.destination_prefix,
        declared_value_cents=parcel.declared_value_cents,
    )


def rated_or_fail(seen: Parcel, tariff: Tariff) -> Rated:
    """The rated parcel. A demo parcel that no tariff carries is a mistake of the generator."""
    rated = rate(seen, tariff)
    if rated.reason:
        raise ValueError(f"{seen}: {rated.reason}")
    return rated


def with_surcharge(seen: Parcel, tariff: Tariff, surcharge: str) -> Rated:
    """The rated parcel as if the surcharge applied, whatever the tariff says."""
    rated = rated_or_fail(seen, tariff)
    service = next(row for row in tariff.rules["services"] if row["service"] == seen.service)
    rows = charged_rows(seen, tariff, measured(seen, tariff, service, rated))
    extra = next(row for row in tariff.rules["surcharges"] if row["surcharge"] == surcharge and _same_lane(row, seen))
    base_cents = next(line.amount_cents for line in rated.lines if line.name == "base")
    return replace(rated, lines=charge_lines(seen, tariff, [*rows, extra], base_cents, rated.billed_weight))


def _same_lane(row: dict[str, Any], seen: Parcel) -> bool:
    return seen.service in row.get("services", [seen.service]) and seen.zone in row.get("zones", [seen.zone])


def with_fuel_on(seen: Parcel, tariff: Tariff, kinds: list[str]) -> Rated:
    """The rated parcel with fuel taken on other kinds of line than the tariff says."""
    fuel = [{**row, "on": kinds} for row in tariff.rules["fuel"]]
    return rated_or_fail(seen, Tariff({**tariff.rules, "fuel": fuel}, tariff.prices))


def charge_lines_of(parcel: Packed, rated: Rated, zone: str = "") -> list[ChargeLine]:
    """The invoice lines of one parcel; weight and sides stand on its base line."""
    number, invoiced_on = invoice_of(parcel.carrier, parcel.shipped_on)
    lines = []
    for line in rated.lines:
        is_base = line.name == "base"
        lines.append(
            ChargeLine(
                carrier=parcel.carrier,
                invoice_number=number,
                invoiced_on=invoiced_on,
                charge_code=_code(parcel.carrier, line),
                amount_cents=line.amount_cents,
                parcel_id=parcel.parcel_id,
                sale_id=parcel.sale.sale_id,
                shipped_on=parcel.shipped_on,
                service=parcel.service,
                zone=zone or parcel.zone,
                billed_weight=float(rated.billed_weight) if is_base else None,
                billed_sides=plain_sides(rated.sides) if is_base else None,
            )
        )
    return lines


def plain_sides(sides: tuple[Decimal, ...]) -> tuple[float, float, float]:
    """Three sides as plain numbers."""
    longest, second, shortest = (float(side) for side in sides)
    return longest, second, shortest


def _code(carrier: str, line: Line) -> str:
    name = f"{line.kind} discount" if line.name == "discount" else line.name
    return line.charge_code or CODES[carrier][name]


def account_fees(lines: list[ChargeLine]) -> list[ChargeLine]:
    """For each invoice a fee that belongs to no parcel, and for Northline a tax on it."""
    invoices = {(line.carrier, line.invoice_number): line.invoiced_on for line in lines}
    fees = {"Northline": (("PICKUP FEE", 1400), ("TAX", 112)), "Corvane": (("ACCOUNT FEE", 900),)}
    return [
        ChargeLine(carrier, number, invoiced_on, code, cents)
        for (carrier, number), invoiced_on in invoices.items()
        for code, cents in fees[carrier]
    ]


def numbered(lines: list[ChargeLine], order: Callable[[ChargeLine], Any]) -> list[ChargeLine]:
    """Every invoice's lines in order, numbered from 1."""
    lines = sorted(lines, key=order)
    last: dict[tuple[str, str], int] = {}
    for line in lines:
        invoice = (line.carrier, line.invoice_number)
        last[invoice] = line.line_number = last.get(invoice, 0) + 1
    return lines


def charge_code_rows(tariffs: list[Tariff]) -> list[tuple[str, str, str, str]]:
    """Carrier, code, kind and surcharge for every code that appears on an invoice."""
    rows = {
        (tariff.rules["carrier"], row["charge_code"]): ("surcharge", row["surcharge"])
        for tariff in tariffs
        for row in tariff.rules["surcharges"]
    }
    for carrier, codes in CODES.items():
        for name, code in codes.items():
            rows[carrier, code] = (name.split()[0], "long side" if name == "surcharge discount" else "")
    rows |= {(carrier, code): (kind, "") for carrier, code, kind in OTHER_CODES}
    return sorted((carrier, code, kind, surcharge) for (carrier, code), (kind, surcharge) in rows.items())
