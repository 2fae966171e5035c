"""A literal reading of a tariff: one parcel, plain loops, decimal arithmetic.

It computes what the demo's carriers bill and is the referee of the table-driven rating, with which it shares no
code. Slow on purpose; the order of the steps is the order of the tariff format.
"""

from __future__ import annotations

import csv
import datetime as dt
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

from sample_data.literal_amounts import CENT, by_missing_weight, standing
from sample_data.literal_charges import Line, charge_lines
from sample_data.literal_places import areas_of, holds, rounded_sides, size_class
from sample_data.literal_prices import price, priced_zone

MILLI = Decimal("0.001")
LENGTHS = {"in": Decimal(1), "cm": Decimal("2.54")}
VOLUMES = {"in": Decimal(1728), "cm": Decimal(1_000_000)}
WEIGHTS = {"lb": Decimal(1), "oz": Decimal(16), "g": Decimal("453.59237"), "kg": Decimal("0.45359237")}


@dataclass(frozen=True)
class Parcel:
    """What the carrier knows of a parcel: outside sides in inches, scale weight in pounds."""

    service: str
    zone: str
    shipped_on: dt.date
    sides_in: tuple[float, float, float]
    scale_weight_lb: float
    is_rectangular: bool = True
    is_residential: bool = False
    destination_prefix: str = ""
    declared_value_cents: int = 0


@dataclass
class Rated:
    """A rated parcel in the tariff's units; no lines, and a reason, where the carrier does not carry it."""

    lines: list[Line] = field(default_factory=list)
    sides: tuple[Decimal, ...] = ()
    dim_weight: Decimal = Decimal(0)
    rated_weight: Decimal = Decimal(0)
    billed_weight: Decimal = Decimal(0)
    reason: str = ""

    @property
    def total_cents(self) -> int:
        """The sum of the lines."""
        return sum(line.amount_cents for line in self.lines)


@dataclass(frozen=True)
class Tariff:
    """The rules of one TOML file and its prices: (service, zone) -> rows of (up to weight, cents), lightest first."""

    rules: dict[str, Any]
    prices: dict[tuple[str, str], list[tuple[Decimal, int]]]
    # The same by (service, zone, size), where prices go by sizes.
    sized: dict[tuple[str, str, str], list[tuple[Decimal, int]]] = field(default_factory=dict)


def read_tariff(rules_file: Path) -> Tariff:
    """One tariff from its TOML file and the CSV of prices beside it."""
    rules = tomllib.loads(rules_file.read_text(encoding="utf-8"), parse_float=Decimal)
    prices: dict[tuple[str, str], list[tuple[Decimal, int]]] = {}
    sized: dict[tuple[str, str, str], list[tuple[Decimal, int]]] = {}
    with (rules_file.parent / rules["prices"]).open(encoding="utf-8", newline="") as prices_file:
        for row in csv.DictReader(prices_file):
            priced = (Decimal(row["up_to_weight"]), int(row["price_cents"]))
            if row.get("class"):
                sized.setdefault((row["service"], row["zone"], row["class"]), []).append(priced)
            else:
                prices.setdefault((row["service"], row["zone"]), []).append(priced)
    return Tariff(
        rules, {at: sorted(rows) for at, rows in prices.items()}, {at: sorted(rows) for at, rows in sized.items()}
    )


def tariff_on(tariffs: Iterable[Tariff], carrier: str, day: dt.date) -> Tariff | None:
    """The carrier's tariff of that day of shipping, or None."""
    for tariff in tariffs:
        rules = tariff.rules
        if rules["carrier"] == carrier and rules["effective_from"] <= day <= rules.get("effective_to", day):
            return tariff
    return None


def rate(parcel: Parcel, tariff: Tariff) -> Rated:
    """What the tariff charges for the parcel, line by line."""
    service = next((row for row in tariff.rules["services"] if row["service"] == parcel.service), None)
    if service is None:
        return Rated(reason=f"no service {parcel.service}")
    rated = Rated(sides=rounded_sides(parcel.sides_in, LENGTHS[tariff.rules["length_unit"]], service["side_rounding"]))
    measures = measured(parcel, tariff, service, rated)
    for measure, most in service.get("limits", {}).items():
        if measures[measure] > most:
            rated.reason = f"not carried: {measure} over {most}"
            return rated
    size = size_class(tariff.rules, parcel.service, measures)
    if size is None or any(measures[measure] < least for measure, least in service.get("minimums", {}).items()):
        return replace(rated, reason="not carried: no size fits, or too small")
    rows = charged_rows(parcel, tariff, measures)
    rated.billed_weight = max([rated.rated_weight, *(Decimal(row.get("minimum_weight", 0)) for row in rows)])
    base_cents = base_price(parcel, tariff, rated.billed_weight, size)
    if base_cents is None:
        rated.reason = f"no price for {rated.billed_weight} in zone {parcel.zone}"
        return rated
    rated.lines = charge_lines(parcel, tariff, rows, base_cents, rated.billed_weight)
    return rated


def measured(parcel: Parcel, tariff: Tariff, service: dict[str, Any], rated: Rated) -> dict[str, Decimal]:
    """Every measure that a tariff may compare; sets the dimensional and the rated weight on the way."""
    longest, second, shortest = rated.sides
    volume = longest * second * shortest
    counted = volume if parcel.is_rectangular else volume * Decimal(service.get("non_rectangular_factor", 1))
    if service["divisor"] != "none" and counted > Decimal(service.get("divisor_above_volume", 0)):
        rated.dim_weight = counted / Decimal(service["divisor"])
    scale = (Decimal(str(parcel.scale_weight_lb)) * WEIGHTS[tariff.rules["weight_unit"]]).quantize(MILLI, ROUND_HALF_UP)
    heaviest = max(scale, rated.dim_weight, Decimal(service.get("minimum_weight", 0))).quantize(MILLI, ROUND_HALF_UP)
    step = Decimal(service["weight_step"])
    rated.rated_weight = (heaviest / step).to_integral_value(ROUND_CEILING) * step
    return {
        "longest_side": longest,
        "second_side": second,
        "shortest_side": shortest,
        "length_plus_girth": longest + 2 * (second + shortest),
        "sum_of_sides": longest + second + shortest,
        "longest_plus_shortest": longest + shortest,
        "diagonal": (longest**2 + second**2 + shortest**2).sqrt().quantize(MILLI, ROUND_HALF_UP),
        "volume": counted,
        "scale_weight": scale,
        "dim_weight": rated.dim_weight,
        "rated_weight": rated.rated_weight,
    }


def charged_rows(parcel: Parcel, tariff: Tariff, measures: dict[str, Decimal]) -> list[dict[str, Any]]:
    """The surcharge rows that apply; of each group only the one with the highest rank, the first among equals."""
    way = tariff.rules.get("rounding", CENT)
    applying: list[dict[str, Any]] = []
    for row in tariff.rules.get("surcharges", []):
        missing = missing_weight(row, parcel, tariff, measures)
        if applies(row, parcel, tariff, measures) and missing is not None:
            applying.append(by_missing_weight(row, missing, way) if missing else row)
    winners: list[dict[str, Any]] = []
    for row in applying:
        rivals = [other for other in applying if "group" in row and other.get("group") == row["group"]]
        if max(rivals, key=lambda rival: standing(rival, parcel.declared_value_cents, way), default=row) is row:
            winners.append(row)
    return winners


def missing_weight(row: dict[str, Any], parcel: Parcel, tariff: Tariff, measures: dict[str, Decimal]) -> Decimal | None:
    """What the scale weight, rounded as billed, lacks to the row's density; None for nothing, 0 for another row."""
    if "per_missing_weight" not in row:
        return Decimal(0)
    service = next(each for each in tariff.rules["services"] if each["service"] == parcel.service)
    step, least = Decimal(service["weight_step"]), Decimal(service.get("minimum_weight", 0))
    weighed = (max(measures["scale_weight"], least) / step).to_integral_value(ROUND_CEILING) * step
    space = measures["volume"] / VOLUMES[tariff.rules["length_unit"]] * Decimal(row["per_missing_weight"]["density"])
    missing = space.quantize(MILLI, ROUND_HALF_UP) - weighed
    return missing if missing > 0 else None


def applies(row: dict[str, Any], parcel: Parcel, tariff: Tariff, measures: dict[str, Decimal]) -> bool:
    """Whether all that the surcharge row states is true of the parcel."""
    if parcel.service not in row.get("services", [parcel.service]):
        return False
    if parcel.zone not in row.get("zones", [parcel.zone]):
        return False
    if row.get("residential", False) and not parcel.is_residential:
        return False
    if "area" in row and row["area"] not in areas_of(parcel.destination_prefix, tariff.rules["areas"]):
        return False
    if not row.get("from", parcel.shipped_on) <= parcel.shipped_on <= row.get("to", parcel.shipped_on):
        return False
    alternatives = row.get("when", [[]])
    return any(
        all(holds(condition, measures, parcel.is_rectangular) for condition in conditions)
        for conditions in alternatives
    )


def base_price(parcel: Parcel, tariff: Tariff, billed_weight: Decimal, size: str) -> int | None:
    """What the list says for the billed weight, in the parcel's zone and size."""
    zone = priced_zone(parcel.zone, {*tariff.prices, *tariff.sized}, parcel.service)
    bands = tariff.sized.get((parcel.service, zone, size)) or tariff.prices.get((parcel.service, zone), [])
    further = [
        row
        for row in tariff.rules.get("further", [])
        if parcel.service in row.get("services", [parcel.service]) and zone in row.get("zones", [zone])
    ]
    return price(bands, further, billed_weight)
