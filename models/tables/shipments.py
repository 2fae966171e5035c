"""Contracts of core.shipment*: parcels that a carrier takes together, and what is billed for them."""

from __future__ import annotations

from models.contracts import Contract, contract

SHIPMENTS: tuple[Contract, ...] = (
    contract(
        "core.shipment_members",
        "One row per parcel of a shipment, of one parcel or more.",
        "parcel_id",
        "parcel_id carrier shipment_id lead_parcel_id parcel_count",
    ),
    contract(
        "core.shipment_parcels",
        "One row per parcel of a shipment of several.",
        "parcel_id",
        "parcel_id carrier shipment_id lead_parcel_id parcel_count is_charged is_billed_whole",
    ),
    contract(
        "core.parcel_charges",
        "One row per parcel, or carrier and month of account fees, and kind of charge: shipments parted among parcels.",
        "parcel_id cost_kind",
        "parcel_id cost_kind amount_cents",
    ),
    contract(
        "core.shipments",
        "One row per shipment of several parcels with a base charge.",
        "carrier shipment_id",
        "carrier shipment_id parcel_id parcel_count lane_key? service_key? shipment_lacking?",
    ),
    contract(
        "core.shipment_requests",
        "One row per request that the check of shipments puts to the rating.",
        "request_id",
        "request_id carrier service? zone? shipped_on length_in? width_in? height_in? is_rectangular scale_weight_lb? "
        "is_residential? destination_prefix? declared_value_cents?",
    ),
    contract(
        "core.shipment_charges",
        "One row per shipment whose bill can be checked, kind and name of charge: expected of all parcels together.",
        "parcel_id charge_kind charge_name",
        "parcel_id charge_kind charge_name amount_cents?",
    ),
    contract(
        "core.shipment_differences",
        "One row per shipment, cause, kind and name of charge billed otherwise than expected.",
        "parcel_id difference_class charge_kind charge_name",
        "parcel_id difference_class charge_kind charge_name expected_cents? billed_cents difference_cents",
    ),
)
