"""What is true of an odd shop, from its books alone: sums by month and group, and what its records cannot say."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from tests.odd_shops.plans import Plan
from tests.odd_shops.trade import CARTONS, METHODS, Parcel, Shop

# Which headers only one kind of record can fill. Zero or a rate there, without that kind, is a figure out of nothing.
FILLED_BY = {
    "claims": ("Damage, net", "Claims", "Crude rate", "Corrected rate", "Damage per parcel", "Damage claims"),
    "cartons": ("Cartons",),
    "packing_methods": ("Material",),
    "weights": ("Labour",),
}
OF_A_TARIFF = ("Avoidable share", "Expected", "Avoided")
WAGE = 1_800
# A share of fewer parcels is told as counts, and a month of fewer gets no verdict.
FEWEST_OF_A_SHARE, FEWEST_OF_A_MONTH = 50, 30


@dataclass
class Sums:
    """Of a group of parcels, in cents."""

    parcels: int = 0
    charged: int = 0
    refunded: int = 0
    billed: int = 0
    surcharge: int = 0
    damage: int = 0
    packing: int = 0

    def add(self, parcel: Parcel, packing: int) -> None:
        self.parcels += 1
        self.charged += parcel.income + parcel.refunded
        self.refunded += parcel.refunded
        self.billed += parcel.billed
        self.surcharge += parcel.surcharge if parcel.is_billed else 0
        self.damage += parcel.loss
        self.packing += packing

    @property
    def margin(self) -> int:
        return self.charged - self.refunded - self.billed - self.damage - self.packing


def packing_cents(plan: Plan, parcel: Parcel) -> int:
    """Carton, material and work of packing, as far as the shop's records know them."""
    if "weights" not in plan.keeps:
        return 0
    carton = 120 + CARTONS[parcel.carton][0]
    return carton + METHODS[parcel.method][0] + round(parcel.minutes * WAGE / 60)


def sums(made: Shop, by: Callable[[Parcel], str], month: date) -> dict[str, Sums]:
    """Sums of the month's parcels on record by group."""
    found: dict[str, Sums] = defaultdict(Sums)
    for parcel in made.parcels:
        if parcel.month == month and is_on_record(made.plan, parcel):
            found[by(parcel)].add(parcel, packing_cents(made.plan, parcel))
    return dict(found)


def is_on_record(plan: Plan, parcel: Parcel) -> bool:
    """Whether any record of the shop puts the parcel into a month."""
    return "weights" in plan.keeps or parcel.is_billed


def absent_headers(plan: Plan) -> set[str]:
    """Headers under which no figure can be true, since no record of the shop can fill them."""
    absent = {head for kind, heads in FILLED_BY.items() if kind not in plan.keeps for head in heads}
    return absent | (set() if plan.has_tariff else set(OF_A_TARIFF))
