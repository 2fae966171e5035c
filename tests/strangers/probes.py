"""The contract columns under test, one or two for each quantity of the data dictionary."""

from __future__ import annotations

from tests.strangers.trials import Probe

_CHARGE = {"carrier": "Northline", "line_number": "1", "invoiced_on": "2099-12-31", "charge_code": "BASE"}
_PARCEL = {
    "sale_id": "S-1",
    "line_number": "1",
    "shipped_on": "2026-10-05",
    "carrier": "Northline",
    "service": "ground",
    "carton_code": "C-08",
}
_SALE = {
    "line_number": "1",
    "item_type": "tripod",
    "quantity": "1",
    "item_price_cents": "1",
    "shipping_charged_cents": "1",
}


def _charge(column: str, **more: str) -> Probe:
    return Probe("charges", column, "invoice_number", {**_CHARGE, "amount_cents": "1", **more})


def _without(constants: dict[str, str], column: str) -> dict[str, str]:
    return {name: value for name, value in constants.items() if name != column}


MONEY = Probe("charges", "amount_cents", "invoice_number", _CHARGE)
WEIGHT = _charge("billed_weight_lb")
DATE = _charge("shipped_on")
TEXT = _charge("service")
CHOICE = _charge("charge_kind")
KEY = Probe("charges", "invoice_number", "parcel_id", {**_CHARGE, "amount_cents": "1"})
LENGTH = Probe("weights", "cut_height_in", "parcel_id", {**_PARCEL, "packed_quantity": "1"})
MINUTES = Probe("weights", "pack_minutes", "parcel_id", {**_PARCEL, "packed_quantity": "1"})
FLAG = Probe("weights", "is_residential", "parcel_id", {**_PARCEL, "packed_quantity": "1"})
COUNT = Probe("weights", "packed_quantity", "parcel_id", _PARCEL)
INSTANT = Probe("sales", "sold_at", "sale_id", _SALE)
SHIPPING = Probe(
    "sales",
    "shipping_charged_cents",
    "sale_id",
    _without(_SALE, "shipping_charged_cents") | {"sold_at": "2026-10-03 14:25:00"},
)
