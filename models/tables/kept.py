"""How each built table is kept where only what new or corrected records touch is built again.

A table named nowhere here is small or spans months: it is built whole from the tables that are kept by part.
"""

from __future__ import annotations

from models.tables.rating import RATING
from models.tables.whatifs import WHAT_IFS

# Records of single parcels and sales, and their day; the other kinds are what every parcel is judged by.
DATED = {"sales": "sold_at", "weights": "shipped_on", "charges": "invoiced_on", "claims": "opened_on"}
# Rows of one parcel rest on its own records and on those of parcels that share a sale with it. Table: parcel's column.
BY_PARCEL = {
    "core.charge_lines": "parcel_id",
    "core.claims": "parcel_id",
    "core.labelled_parcels": "parcel_id",
    "core.packed_lines": "parcel_id",
    "core.parcel_lines": "parcel_id",
    "core.parcels": "parcel_id",
    "core.parcel_doubts": "parcel_id",
    "core.raised_charges": "parcel_id",
    "core.boxed_parcels": "parcel_id",
    "core.billed_parcels": "parcel_id",
    "core.billed_adjustments": "parcel_id",
    "core.billing_causes": "parcel_id",
    "core.expected_charges": "parcel_id",
    "rating.requests": "request_id",
    "rating.priced": "request_id",
    "rating.rated": "request_id",
    "marts.parcel_costs": "parcel_id",
    "marts.parcel_line_costs": "parcel_id",
    "marts.billing_differences": "parcel_id",
    "marts.claim_losses": "parcel_id",
    "marts.surcharge_near_misses": "parcel_id",
}
BY_SALE = {"core.sale_lines": "sale_id"}
# Rows of one month rest on the parcels shipped in it, through tables by parcel and row by row. Table: column with the
# day or month of shipping.
BY_MONTH = {
    "core.billed_side_counts": "shipped_month",
    "core.correction_counts": "shipped_month",
    "core.daily_charges": "shipped_on",
    "core.daily_surcharges": "shipped_on",
    "core.grouped_parcels": "shipped_month",
    "core.grouped_surcharges": "shipped_month",
    "core.invoice_parts": "shipped_month",
    "core.label_days": "shipped_month",
    "marts.coverage": "shipped_month",
    "marts.damage_counts": "shipped_month",
    "marts.exposure_cells": "shipped_on",
    "marts.item_type_costs": "shipped_month",
    "marts.margin_cells": "shipped_month",
    "marts.near_miss_totals": "shipped_month",
    "marts.surcharge_frequency": "shipped_month",
    "marts.worst_parcels": "shipped_month",
}
# What all months teach and single parcels are judged by. Table: the counts by month that it rests on.
LOOKUPS = {
    "core.learned_sides": "core.billed_side_counts",
    "core.correction_codes": "core.correction_counts",
}
# What a row says depends on reference records alone, so that it is the same whichever parcels are built.
ROW_BY_ROW = frozenset(
    {"core.cartons", "core.catalogues", "core.packing_methods", "core.zone_bands", "core.tariff_days"}
)
# What parcels have in common, under a key made of the facts: it stays as long as a parcel has it. Table: its key, and
# the table that says which are in use.
SHARED = {
    "rating.lanes": ("lane_key", "rating.priced"),
    "rating.cells": ("cell_key", "rating.priced"),
    "rating.case_discounts": ("case_key", "rating.cells"),
    "core.goods": ("goods_key", "core.boxed_parcels"),
    "core.ways": ("way_key", "core.boxed_parcels"),
}
# On the way to other tables: they go when those stand.
WORKINGS = frozenset(
    {
        *("core.parcel_amounts", "core.shared_amounts"),
        *("core.parcel_goods", "core.rechecked_charges", "core.parcel_classes", "core.class_parcels"),
        *("core.near_changes", "core.tried_changes", "core.nearest_changes"),
        *("core.repeated_lines", "core.billed_charges", "core.billing_steps", "core.billing_leftovers"),
        *(name for each in WHAT_IFS if not (name := str(each.name)).startswith("by_name.")),
        *(name for each in RATING if (name := str(each.name)).startswith("rating.")),
    }
    - {*BY_PARCEL, *SHARED}
)
