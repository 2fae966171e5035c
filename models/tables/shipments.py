"""Contracts of core.shipment*: parcels that a carrier takes together, and what is billed for them."""

from __future__ import annotations

from models.contracts import Contract, contract

SHIPMENTS: tuple[Contract, ...] = (
    contract("core.shipment_members", "parcel_id | carrier shipment_id lead_parcel_id parcel_count"),
    contract(
        "core.shipment_parcels",
        "parcel_id | carrier shipment_id lead_parcel_id parcel_count is_charged is_billed_whole",
    ),
    contract("core.parcel_charges", "parcel_id cost_kind | amount_cents"),
    contract("core.shipments", "carrier shipment_id | parcel_id parcel_count lane_key? service_key? shipment_lacking?"),
    contract("core.shipment_totals", "parcel_id | billed_weight_milli price_cents? discount_cents?"),
    contract("core.shipment_charges", "parcel_id charge_kind charge_name | amount_cents?"),
    contract(
        "core.shipment_differences",
        "parcel_id difference_class charge_kind charge_name | expected_cents? billed_cents difference_cents",
    ),
)
