"""Reference tables that the shop keeps itself, imported in the same way as the seven kinds of record."""

from models.contracts import Contract, record
from models.records import CARTONS, CHARGES, CLAIMS, LABELS, RETURNS, SALES, WEIGHTS

ITEM_TYPES = record(
    "item_types",
    "One row per item type: a kind of goods with its own packed sides and weight.",
    "item_type | length_in width_in height_in weight_lb turns may_lie_under? is_fragile? item_cost_cents? "
    "shipping_allowance_cents?",
    sorts=(("length_in", "width_in"),),
)

BUNDLES = record(
    "bundles",
    "One row per item type and number of its pieces that are wrapped together, head to tail or nested.",
    "item_type bundled_count | length_in width_in height_in turns",
    sorts=(("length_in", "width_in"),),
)

PACKING_METHODS = record(
    "packing_methods",
    "One row per packing method and the day from which its costs are valid.",
    "packing_method effective_from | material_cents pack_minutes clearance_in packing_steps?",
)

CARTON_PRICES = record(
    "carton_prices",
    "One row per carton, day from which its supplier's price list is valid and quantity from which a price applies.",
    "carton_code effective_from minimum_quantity | unit_cost_cents",
)

SKUS = record("skus", "One row per stock number that stands for an item type.", "sku | item_type")

CHARGE_CODES = record(
    "charge_codes",
    "One row per carrier and charge code: what kind of charge the carrier's words mean.",
    "carrier charge_code | charge_kind surcharge?",
)

RECORDS: dict[str, Contract] = {
    str(schema.name): schema
    for schema in (
        SALES,
        CARTONS,
        WEIGHTS,
        CHARGES,
        CLAIMS,
        LABELS,
        RETURNS,
        ITEM_TYPES,
        BUNDLES,
        PACKING_METHODS,
        CARTON_PRICES,
        SKUS,
        CHARGE_CODES,
    )
}
