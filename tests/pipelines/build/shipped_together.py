"""Parcels of one sale that a carrier bills together, built; amounts by a dollar a pound."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from models.tariffs.rules import Tariff
from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import parsed, prices_text, rules_text
from tests.shops import Rows, built, rows

FUEL = """
[[fuel]]
from = 2000-01-01
percent = 10.0
on = ["base", "surcharge"]
"""
HOME = """
[[surcharges]]
surcharge = "home"
charge_code = "HOME"
residential = true
amount_cents = 300
"""
EACH = """
[[shipments]]
base = "each"
"""
TOTAL = """
[[shipments]]
base = "total"
weight = "rounded"
once = ["home"]
"""
CODES = [
    {"carrier": "trial", "charge_code": "BASE", "charge_kind": "base"},
    {"carrier": "trial", "charge_code": "FUEL", "charge_kind": "fuel"},
    {"carrier": "trial", "charge_code": "HOME", "charge_kind": "surcharge"},
    {"carrier": "trial", "charge_code": "TAX", "charge_kind": "tax"},
    {"carrier": "trial", "charge_code": "WHARF", "charge_kind": "surcharge"},
    {"carrier": "trial", "charge_code": "LATER", "charge_kind": "adjustment"},
]


def listed(rest: str) -> Tariff:
    """One dollar a pound in zone 2, and what `rest` states."""
    return parsed("trial.toml", rules_text("trial", rest), lambda name: prices_text())


def parcel(name: str, pounds: float, shipment: str | None = "S1", **stated: Any) -> dict[str, Any]:
    """A small parcel of the bench log."""
    return {
        **{"parcel_id": name, "sale_id": "A", "line_number": None, "packed_quantity": None, "carrier": "trial"},
        **{"service": "plain", "zone": "2", "shipped_on": "2026-10-02", "shipment_id": shipment},
        **{"length_in": 6.0, "width_in": 6.0, "height_in": 6.0, "scale_weight_lb": pounds},
        **{"is_residential": False, "declared_value_cents": 0, **stated},
    }


def line(code: str, cents: int, name: str | None = None, shipment: str | None = "S1", **stated: Any) -> dict[str, Any]:
    """A line of the carrier's invoice."""
    return {"carrier": "trial", "charge_code": code, "amount_cents": cents, "parcel_id": name} | {
        "shipment_id": shipment,
        "service": "plain",
        "zone": "2",
        **stated,
    }


CHECKED = ("marts.billing_differences",)
DISPUTED = (*CHECKED, "marts.billing_disputes", "marts.billing_checks")
COSTS = ("marts.parcel_costs",)


@contextmanager
def shop(
    tariff: Tariff, weights: Rows, charges: Rows, needed: Sequence[str] = CHECKED
) -> Iterator[warehouse.Connection]:
    """The records of one sale, built as far as needed; all of it where nothing is said to be."""
    with built(price_lists=[tariff], weights=weights, charges=charges, charge_codes=CODES, needed=needed) as connection:
        yield connection


def differences(connection: warehouse.Connection) -> dict[tuple[str, str], int]:
    """Cents beyond the tariff by cause and charge."""
    found = rows(connection, "select * from marts.billing_differences")
    return {(row["difference_class"], row["charge_name"]): row["difference_cents"] for row in found}


def carriage(connection: warehouse.Connection) -> dict[str, int]:
    """What each parcel was billed, as its margin counts it."""
    return {
        row["parcel_id"]: row["billed_cents"]
        for row in rows(connection, "select parcel_id, billed_cents from marts.parcel_costs")
    }


TWO = [parcel("P1", 10), parcel("P2", 5)]
