"""An invented shop that measures in centimetres and kilograms, and its twin with the same records in inches and pounds.

Lampwright & Daughter sell standing lamps, shades and stone bases; their carrier Ostvale bills by the kilogram. Nothing
here is the demo shop's: goods, prices, tariff and generator are its own.
"""

from __future__ import annotations

import csv
import datetime as dt
import math
import random
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

from models.reference import RECORDS
from pipelines.cli import main

Row = dict[str, Any]
FIRST, PARCELS, DAYS = dt.date(2026, 8, 3), 150, 88
# sides in cm, weight in kg, how often sold, the cartons it travels in
GOODS = {
    "standing lamp": ((118, 14, 14), 4.2, 5, ("K-125", "K-130")),
    "shade": ((42, 42, 30), 1.1, 3, ("K-50",)),
    "stone base": ((28, 28, 9), 11.4, 2, ("K-35",)),
}
CARTONS = {
    "K-125": (125, 20, 20, 310),
    "K-130": (130, 22, 22, 335),
    "K-50": (50, 50, 40, 280),
    "K-35": (35, 35, 15, 160),
}
CLEARANCE_CM = {"paper": 2.0, "moulded pulp": 2.5}
ZONES = {"A": 1.0, "B": 1.3, "C": 1.75}
LONGEST_CM, LONG_CENTS, FUEL = 130.5, 1490, 0.08
TARIFF = f"""\
tariff_code = "ostvale-2026"
carrier = "Ostvale"
source = "Invented for this test"
effective_from = 2026-01-01
currency = "EUR"
length_unit = "cm"
weight_unit = "kg"
prices = "ostvale-2026.csv"
dispute_days = 120
dispute_from = "invoiced_on"
claim_days = 120

[[services]]
service = "parcel"
side_rounding = "up"
divisor = 5000.0
divisor_above_volume = 0.0
non_rectangular_factor = 1.0
weight_step = 1.0
minimum_weight = 1.0
limits = {{ longest_side = 200.0, scale_weight = 40.0 }}

[[surcharges]]
surcharge = "long goods"
charge_code = "LONG"
when = [[{{ measure = "longest_side", more_than = {LONGEST_CM} }}]]
amount_cents = {LONG_CENTS}

[[fuel]]
from = 2026-01-01
percent = {FUEL * 100}
on = ["base", "surcharge"]
"""


def found(folder: Path, system: str) -> Path:
    """`dunnage init`, the tariff and filled templates: a shop that is ready to import."""
    words = ("--name", "Lampwright", "--currency", "EUR", "--time-zone", "Europe/Berlin", "--wage", "18.50")
    assert main(["init", str(folder), *words, "--units", system]) == 0
    (folder / "tariffs" / "ostvale-2026.toml").write_text(TARIFF, encoding="utf-8")
    prices = [
        "service,zone,up_to_weight,price_cents",
        *(f"parcel,{z},{w},{price(z, w)}" for z in ZONES for w in range(1, 41)),
    ]
    (folder / "tariffs" / "ostvale-2026.csv").write_text("\n".join(prices) + "\n", encoding="utf-8")
    for kind, rows in records().items():
        _fill(folder, kind, rows)
    return folder


def _fill(folder: Path, kind: str, rows: list[Row]) -> None:
    """A filled copy of the shop's own template: its headers say in which unit a cell is written."""
    template = folder / "templates" / f"template-{kind}.csv"
    header = template.read_text(encoding="utf-8").strip().split(",")
    with (folder / "inbox" / template.name).open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(header)
        writer.writerows([_cell(row, name) for name in header] for row in rows)


def _cell(row: Row, header: str) -> object:
    """The row's value under a template's header. Rows are in cm and kg; 2.54 cm are an inch, 0.45359237 kg a pound."""
    for ending, metric, factor in (("_in", "_cm", Fraction("2.54")), ("_lb", "_kg", Fraction("0.45359237"))):
        if header.endswith(ending) and not header.endswith("_per_lb"):
            kept = row.get(header.removesuffix(ending) + metric)
            return "" if kept is None else float(Fraction(str(kept)) / factor)
    value = row.get(header, "")
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else value


def price(zone: str, kg: int) -> int:
    """Base price in cents."""
    return round((420 + 65 * kg) * ZONES[zone])


def records() -> dict[str, list[Row]]:
    """Rows of every kind, measures in cm and kg; the same at every call."""
    chance = random.Random(20260803)
    kinds: dict[str, list[Row]] = {kind: [] for kind in RECORDS}
    kinds["item_types"] = [
        {
            "item_type": name,
            **_sides(sides),
            "weight_kg": kg,
            "turns": "any",
            "is_fragile": True,
            "item_cost_cents": 4000,
        }
        for name, (sides, kg, _, _) in GOODS.items()
    ]
    kinds["cartons"] = [_carton(code, *size) for code, size in CARTONS.items()]
    kinds["carton_prices"] = [
        {"carton_code": code, "effective_from": "2026-01-01", "minimum_quantity": 100, "unit_cost_cents": size[3] - 9}
        for code, size in CARTONS.items()
    ]
    kinds["packing_methods"] = [
        {
            "packing_method": name,
            "effective_from": "2026-01-01",
            "material_cents": 60 + 90 * at,
            "pack_minutes": 6 + 3 * at,
            "clearance_cm": clear,
        }
        for at, (name, clear) in enumerate(CLEARANCE_CM.items())
    ]
    codes = {"CARRIAGE": "base", "LONG": "surcharge", "FUEL": "fuel", "REMEASURED": "adjustment"}
    kinds["charge_codes"] = [
        {
            "carrier": "Ostvale",
            "charge_code": code,
            "charge_kind": kind,
            "surcharge": "long goods" if code == "LONG" else "",
        }
        for code, kind in codes.items()
    ]
    for number in range(PARCELS):
        _parcel(number, chance, kinds)
    _still_to_pack(kinds)
    kinds["weights"].append(_unreadable(kinds["weights"][-1]))
    for line, row in enumerate(kinds["charges"], start=1):
        row["line_number"] = line
    return kinds


def _still_to_pack(kinds: dict[str, list[Row]]) -> None:
    """A sale whose label is bought, as the bench list shows it."""
    day = FIRST + dt.timedelta(days=DAYS)
    kinds["sales"].append({**kinds["sales"][-1], "sale_id": "L-7900", "sold_at": f"{day} 09:15:00"})
    outside = [126.0, 21.0, 21.0]
    kinds["labels"].append(_label(900, "OV41900", "L-7900", day, "B", 5.3, outside) | {"first_scan_on": ""})


def _sides(sides: tuple[float, ...], before: str = "") -> Row:
    return {f"{before}{name}_cm": side for name, side in zip(("length", "width", "height"), sides, strict=True)}


def _carton(code: str, length: int, width: int, height: int, cents: int) -> Row:
    return {
        "carton_code": code, "effective_from": "2026-01-01", "carton_style": "0201", "board_cm": 0.4,
        "is_cuttable": True, "minimum_height_cm": 8, "unit_cost_cents": cents, "on_hand": 90, "minimum_order": 25,
        "counted_on": FIRST + dt.timedelta(days=DAYS // 2), "pack_quantity": 5, "lead_time_days": 10,
        **_sides((length, width, height), "inside_"),
    }  # fmt: skip


def _parcel(number: int, chance: random.Random, kinds: dict[str, list[Row]]) -> None:
    item = chance.choices(list(GOODS), [each[2] for each in GOODS.values()])[0]
    _, kg, _, cartons = GOODS[item]
    code = chance.choice(cartons)
    inside = CARTONS[code][:3]
    outside = sorted((inside[0] + 0.8, inside[1] + 0.8, inside[2] + 1.6), reverse=True)
    method = chance.choice(list(CLEARANCE_CM))
    shipped, zone = FIRST + dt.timedelta(days=number * DAYS // PARCELS), chance.choice(list(ZONES))
    weight = round(kg + chance.uniform(0.3, 0.9), 2)
    parcel, sale = f"OV{41000 + number}", f"L-{7000 + number}"
    kinds["sales"].append(
        {"sale_id": sale, "line_number": 1, "sold_at": f"{shipped} 09:15:00", "channel": "own site", "item_type": item,
         "quantity": 1, "item_price_cents": 12900, "shipping_charged_cents": 1290, "destination_prefix": zone}
    )  # fmt: skip
    kinds["weights"].append(
        {"parcel_id": parcel, "sale_id": sale, "line_number": 1, "packed_quantity": 1, "shipped_on": shipped,
         "carrier": "Ostvale", "service": "parcel", "zone": zone, "carton_code": code, "packing_method": method,
         "is_rectangular": True, "scale_weight_kg": weight, "packer": "B1", "pack_minutes": 7, "is_residential": True,
         **(_sides(tuple(outside)) if number % 4 else {})}
    )  # fmt: skip
    kinds["charges"] += _bill(number, parcel, shipped, zone, weight, outside)
    if number % 3 == 0:
        kinds["labels"].append(_label(number, parcel, sale, shipped, zone, weight, outside))
    if number % (9 if method == "paper" else 23) == 4:
        kinds["claims"].append(
            {"claim_id": f"C{number}", "parcel_id": parcel, "opened_on": shipped + dt.timedelta(days=9 + number % 13),
             "claim_cause": "damage", "claim_state": "reported", "damaged_part": "rim", "claimed_cents": 12900}
        )  # fmt: skip


def _label(number: int, parcel: str, sale: str, shipped: dt.date, zone: str, kg: float, outside: list[float]) -> Row:
    """What was typed to buy it: sides to the centimetre, weight to the half kilogram below."""
    return {
        "parcel_id": parcel, "sale_id": sale, "bought_on": shipped, "carrier": "Ostvale", "service": "parcel",
        "zone": zone, "typed_weight_kg": max(0.5, math.floor(kg * 2) / 2), "quoted_cents": price(zone, math.ceil(kg)),
        "first_scan_on": shipped + dt.timedelta(days=1), **_sides(tuple(map(round, outside)), "typed_"),
    }  # fmt: skip


def _bill(number: int, parcel: str, shipped: dt.date, zone: str, kg: float, outside: list[float]) -> Iterator[Row]:
    """What Ostvale bills: mostly right; now and then another zone, a side or a weight measured otherwise."""
    sides = [side + (2.0 if number % 11 == 3 and at == 0 else 0) for at, side in enumerate(outside)]
    weight = kg + (4.0 if number % 17 == 5 else 0)
    dim = math.prod(math.ceil(round(side, 3)) for side in sides) / 5000
    billed = max(1, math.ceil(round(max(weight, dim), 6)))
    base = price("C" if number % 19 == 7 else zone, billed)
    long = LONG_CENTS if math.ceil(round(sides[0], 3)) > LONGEST_CM else 0
    head = {
        "carrier": "Ostvale",
        "invoice_number": f"R-{shipped:%Y-%m}",
        "invoiced_on": (shipped.replace(day=1) + dt.timedelta(days=32)).replace(day=4),
        "parcel_id": parcel,
        "shipped_on": shipped,
        "service": "parcel",
        "zone": "C" if number % 19 == 7 else zone,
        "billed_weight_kg": billed,
        **_sides(tuple(sides), "billed_"),
    }
    yield {**head, "charge_code": "CARRIAGE", "amount_cents": base}
    if long:
        yield {**head, "charge_code": "LONG", "amount_cents": long}
    yield {**head, "charge_code": "FUEL", "amount_cents": round((base + long) * FUEL)}


def _unreadable(row: Row) -> Row:
    return {**row, "parcel_id": "OV99999", "length_cm": 0, "width_cm": 0, "height_cm": 0}
