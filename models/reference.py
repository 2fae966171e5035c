"""Reference tables that the shop keeps itself, landed by the same intake as the five kinds of record."""

from __future__ import annotations

import pandera.pandas as pa

from models.contracts import contract
from models.fields import cents, choice, date, flag, inches, minutes, pounds, text
from models.records import CARTONS, CHARGE_KINDS, CHARGES, CLAIMS, SALES, WEIGHTS
from models.rules import AtMost

TURNS = ("any", "flat", "upright")

ITEM_TYPES = contract(
    "item_types",
    "One row per item type: a kind of goods with its own packed sides and weight.",
    ("item_type",),
    {
        "item_type": text("Kind of goods", "tripod", known_as=("item", "type")),
        "length_in": inches("Longer side of the base of one piece, wrapped", 44.0, known_as=("length",)),
        "width_in": inches("Shorter side of the base", 6.0, known_as=("width",)),
        "height_in": inches("Height as it stands on that base", 6.0, known_as=("height",)),
        "weight_lb": pounds("Weight of one piece, wrapped", 9.2, known_as=("weight",)),
        "turns": choice("How it may lie: any way, flat on its largest side, upright on its base only", "any", TURNS),
        "may_lie_under": flag("Whether other goods may lie on it", True, optional=True),
        "is_fragile": flag("Whether it breaks when dropped", False, optional=True, known_as=("fragile",)),
        "item_cost_cents": cents("What one piece cost the shop", 9200, optional=True, known_as=("cost",)),
        "shipping_allowance_cents": cents("Kept in the item price for shipping", 0, optional=True),
    },
    (AtMost("width_in", "length_in"),),
)

PACKING_METHODS = contract(
    "packing_methods",
    "One row per packing method and the day from which its costs are valid.",
    ("packing_method", "effective_from"),
    {
        "packing_method": text("How goods are secured", "foam", known_as=("method", "packing")),
        "effective_from": date("First day of this entry", "2025-05-01", known_as=("valid from", "from")),
        "material_cents": cents("Material for one parcel", 310, known_as=("material",)),
        "pack_minutes": minutes("Usual packing time", 11.0, known_as=("minutes",)),
        "clearance_in": inches("Room left on every side of the goods", 1.5, zero=True, known_as=("clearance",)),
    },
)

SKUS = contract(
    "skus",
    "One row per stock number that stands for an item type.",
    ("sku",),
    {
        "sku": text("Stock number", "TRI-0042"),
        "item_type": text("Kind of goods", "tripod", known_as=("item", "type")),
    },
)

CHARGE_CODES = contract(
    "charge_codes",
    "One row per carrier and charge code: what kind of charge the carrier's words mean.",
    ("carrier", "charge_code"),
    {
        "carrier": text("Carrier", "Northline"),
        "charge_code": text("Carrier's word for the charge", "LONG SIDE", known_as=("code",)),
        "charge_kind": choice("Kind of charge", "surcharge", CHARGE_KINDS, known_as=("kind",)),
        "surcharge": text("The surcharge's name in the tariff", "long side", optional=True),
    },
)

RECORDS: dict[str, pa.DataFrameSchema] = {
    str(schema.name): schema
    for schema in (
        SALES,
        CARTONS,
        WEIGHTS,
        CHARGES,
        CLAIMS,
        ITEM_TYPES,
        PACKING_METHODS,
        SKUS,
        CHARGE_CODES,
    )
}
