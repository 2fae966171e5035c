"""What a contract and its SQL do not say of how a table is kept where only what new records touch is built again.

pipelines/build/partitions.py reads off the rest: what is kept by parcel, by sale or by month, and what is built whole.
"""

from models.tables.rating import RATING, WHAT_IFS

# Records of single parcels and sales, and their day; the other kinds are what every parcel is judged by.
DATED = {
    "sales": "sold_at",
    "weights": "shipped_on",
    "charges": "invoiced_on",
    "claims": "opened_on",
    "labels": "bought_on",
    "returns": "returned_on",
}
# What all months teach and single parcels are judged by. Table: the counts by month that it rests on.
LOOKUPS = {
    "core.learned_sides": "core.billed_side_counts",
    "core.correction_codes": "core.correction_counts",
    "core.learned_zones": "core.billed_zone_counts",
}
# What a row says depends on reference records alone, whichever parcels are built, although the SQL reads parcels.
ROW_BY_ROW = frozenset({"core.zone_bands", "core.tariff_days", "core.charted_zones", "core.length_limits"})
# What parcels have in common, under a key made of the facts: it stays as long as a parcel has it. Table: its key, and
# the table that says which are in use.
SHARED = {
    "rating.lanes": ("lane_key", "rating.priced"),
    "rating.price_classes": ("price_class_key", "rating.priced"),
    "rating.surcharge_class_charges": ("surcharge_class_key", "rating.price_classes"),
    "core.packed_contents": ("packed_contents_key", "core.carton_demand"),
    "core.shipping_conditions": ("conditions_key", "core.carton_demand"),
}
# On the way to other tables: they go when those stand.
WORKINGS = frozenset(
    {
        *("core.parcel_amounts", "core.shared_amounts"),
        *("core.parcel_goods", "core.rechecked_charges", "core.parcel_classes", "core.class_parcels"),
        *("core.near_miss_trials", "core.near_miss_least_changes"),
        *("core.repeated_lines", "core.billed_charges", "core.billing_steps", "core.unexplained_charges"),
        *("core.unrated_charges", "core.billed_fuel", "core.learned_misses", "core.charge_differences"),
        *("core.billed_tax", "core.reclaimed_tax"),
        *("core.parcel_charges", "core.shipment_totals", "core.shipment_differences"),
        *(name for each in WHAT_IFS if not (name := str(each.name)).startswith("by_name.")),
        *(name for each in RATING if (name := str(each.name)).startswith("rating.")),
    }
    - {"rating.requests", "rating.priced", "rating.rated", *SHARED}
)
