"""The records of an odd shop as plain rows, and its books: what each parcel brought, was billed and lost.

Saltmarsh Spars sell masts, battens and rudders; their carrier Longreach bills by the pound. Sides in inches, weights in
pounds. Nothing here is the demo shop's, and nothing is reckoned by the program.
"""

from __future__ import annotations

import math
import random
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from tests.odd_shops.plans import Plan

Row = dict[str, Any]
CARRIER, SERVICE = "Longreach", "parcel"
# Sides and weight of goods; those without an entry are as the last.
GOODS = {"mast": ((60, 5, 5), 9.0), "batten": ((46, 5, 4), 4.0), "rudder": ((30, 10, 5), 12.0)}
CARTONS = {"B-63": (63, 8, 8), "B-47": (47, 7, 7), "B-32": (32, 12, 8)}
METHODS = {"wrap": (90, 4, 0.5), "caps": (180, 7, 1.0)}
LONG_SIDE, LONG_CENTS, FUEL, DIVISOR = 48, 1_150, 0.1, 139


@dataclass
class Parcel:
    """What is true of one parcel, in cents of the shop's currency."""

    number: str
    sale: str
    item: str
    day: date
    zone: str
    channel: str
    carton: str
    method: str
    income: int
    base: int
    surcharge: int
    fuel: int
    minutes: int = 6
    is_billed: bool = True
    refused: int = 0
    refunded: int = 0
    loss: int = 0

    @property
    def month(self) -> date:
        return self.day.replace(day=1)

    @property
    def billed(self) -> int:
        """On record: what a bill says, without the lines that intake refused."""
        return self.base + self.surcharge + self.fuel - self.refused if self.is_billed else 0


@dataclass
class Shop:
    """A shop's rows of each kind and its parcels."""

    plan: Plan
    records: dict[str, list[Row]] = field(default_factory=lambda: defaultdict(list))
    parcels: list[Parcel] = field(default_factory=list)


def shop(plan: Plan) -> Shop:
    """The same at every call."""
    made, chance = Shop(plan), random.Random(plan.name)
    _catalogue(made)
    for month, count in plan.parcels.items():
        for number in range(count):
            _parcel(made, chance, month, number, count)
    for line, row in enumerate(made.records["charges"], start=1):
        row["line_number"] = line
    return made


def item_names(plan: Plan) -> list[str]:
    """The names of the shop's goods; one without a name where it does not say."""
    names = [*GOODS, *(f"cleat {number}" for number in range(1, 400))]
    return names[: plan.item_types] or [""]


def _goods(name: str) -> tuple[tuple[int, int, int], float, str]:
    """Sides, weight and carton of the goods."""
    at = list(GOODS).index(name) if name in GOODS else 2
    sides, weight = list(GOODS.values())[at]
    return sides, weight, list(CARTONS)[at]


def _sides(sides: tuple[float, ...], before: str = "") -> Row:
    return {f"{before}{name}_in": side for name, side in zip(("length", "width", "height"), sides, strict=True)}


def _catalogue(made: Shop) -> None:
    made.records["item_types"] = [
        {"item_type": name, **_sides(_goods(name)[0]), "weight_lb": _goods(name)[1], "turns": "any",
         "is_fragile": "no", "item_cost_cents": 4_000} for name in item_names(made.plan) if name
    ]  # fmt: skip
    made.records["cartons"] = [
        {"carton_code": code, "effective_from": "2026-01-01", "carton_style": "0201", "board_in": 0.15,
         "unit_cost_cents": 120 + sides[0], "is_cuttable": "yes", "minimum_height_in": 4, "on_hand": 60,
         "minimum_order": 20, **_sides(sides, "inside_")} for code, sides in CARTONS.items()
    ]  # fmt: skip
    made.records["packing_methods"] = [
        {"packing_method": name, "effective_from": "2026-01-01", "material_cents": cents, "pack_minutes": minutes,
         "clearance_in": room} for name, (cents, minutes, room) in METHODS.items()
    ]  # fmt: skip


def price(zones: tuple[str, ...], zone: str, pounds: int) -> int:
    """Base price in cents."""
    return round((520 + 38 * pounds) * (1 + 0.3 * zones.index(zone)))


def _parcel(made: Shop, chance: random.Random, month: date, number: int, count: int) -> None:
    plan, at = made.plan, len(made.parcels)
    names = item_names(plan)
    item = names[at % len(names)] if len(names) > 10 else chance.choice(names)
    _, goods_weight, carton = _goods(item or chance.choice(list(GOODS)))
    inside = CARTONS[carton]
    outside = (inside[0] + 0.3, inside[1] + 0.3, inside[2] + 0.6)
    weight = round(goods_weight + 1.2 + chance.random(), 1)
    pounds = max(math.ceil(weight), math.ceil(math.prod(math.ceil(side) for side in outside) / DIVISOR))
    zone, method = chance.choice(list(plan.zones)), chance.choice(list(METHODS))
    base, surcharge = price(tuple(plan.zones), zone, pounds), LONG_CENTS if outside[0] > LONG_SIDE else 0
    parcel = Parcel(
        number=f"SP{10_000 + at}", sale=f"T-{500 + at}", item=item, zone=zone, carton=carton, method=method,
        channel=chance.choice(plan.channels),
        day=month + timedelta(days=number * 27 // count), income=1_490 + 10 * (at % 30), base=base,
        surcharge=surcharge, fuel=round((base + surcharge) * FUEL), is_billed=plan.is_billed(number, month),
    )  # fmt: skip
    made.parcels.append(parcel)
    made.records["sales"].append(_sale(plan, parcel, at))
    made.records["weights"].append(
        {"parcel_id": parcel.number, "sale_id": parcel.sale, "line_number": 1, "packed_quantity": 1,
         "shipped_on": parcel.day, "carrier": CARRIER, "service": SERVICE, "zone": zone, "carton_code": carton,
         "packing_method": method, "scale_weight_lb": weight, "pack_minutes": parcel.minutes, "is_rectangular": "yes",
         "is_residential": "yes", **_sides(outside)}
    )  # fmt: skip
    if parcel.is_billed:
        _bill(made, parcel, outside, pounds, at)
    if at % (7 if method == "wrap" else 19) == 3 and parcel.day >= plan.claims_from and "claims" in plan.keeps:
        _claim(made, parcel, at)


def _sale(plan: Plan, parcel: Parcel, at: int) -> Row:
    row = {"sale_id": parcel.sale, "line_number": 1, "sold_at": f"{parcel.day} 08:30:00", "channel": parcel.channel,
           "item_type": parcel.item, "quantity": 1, "item_price_cents": 9_900,
           "shipping_charged_cents": parcel.income, "parcel_id": parcel.number}  # fmt: skip
    if not parcel.item:
        row["title"] = f"spar no. {at}"
    if plan.returned and at % plan.returned == 1:
        parcel.income, parcel.refunded = parcel.income - 500, 500
        row |= {"sale_state": "returned", "shipping_refunded_cents": 500}
    return row


def _bill(made: Shop, parcel: Parcel, outside: tuple[float, ...], pounds: int, at: int) -> None:
    head = {
        "carrier": CARRIER, "invoice_number": f"L{parcel.month:%Y%m}", "parcel_id": parcel.number,
        "invoiced_on": (parcel.month + timedelta(days=32)).replace(day=5), "shipped_on": parcel.day,
        "service": SERVICE, "zone": parcel.zone, "billed_weight_lb": pounds, **_sides(outside, "billed_"),
    }  # fmt: skip
    lines = {("BASE", "base"): parcel.base, ("LONG", "surcharge"): parcel.surcharge, ("FUEL", "fuel"): parcel.fuel}
    for (code, kind), cents in lines.items():
        if cents:
            row = {**head, "charge_code": code, "charge_kind": kind, "amount_cents": cents}
            if made.plan.foreign and code == "FUEL" and at % made.plan.foreign == 0:
                row["is_foreign"], parcel.refused = True, cents
            made.records["charges"].append(row)


def _claim(made: Shop, parcel: Parcel, at: int) -> None:
    parcel.loss = 9_900
    made.records["claims"].append(
        {"claim_id": f"Q{at}", "parcel_id": parcel.number, "claim_cause": "damage", "claim_state": "reported",
         "opened_on": parcel.day + timedelta(days=8 + at % 14), "damaged_part": "tip", "refund_cents": 9_900}
    )  # fmt: skip
