"""Contracts of parcels as the choice of cartons sees them: goods, ways, and who went which way with what."""

from __future__ import annotations

from models.contracts import Contract, contract

_FACTS = "goods? clearance_in? bound_length_in? bound_width_in? bound_height_in?"


BOXED: tuple[Contract, ...] = (
    contract(
        "core.carton_catalogues",
        "One row per day on which the carton catalogue changed.",
        "effective_from",
        "effective_from effective_before?",
    ),
    contract(
        "core.parcel_goods",
        "One row per parcel whose goods are known with a clearance, or bounded by its carton.",
        "parcel_id",
        f"parcel_id {_FACTS}",
    ),
    contract(
        "core.packed_contents",
        "One row per goods with the same clearance that occur, and per inside that bounds unknown ones.",
        "packed_contents_key",
        f"packed_contents_key {_FACTS}",
    ),
    contract(
        "core.shipping_conditions",
        "One row per all that decides a parcel's price beside its sides.",
        "conditions_key",
        "conditions_key lane_class_key is_home place_key declared_steps scale_band fuel_share_millionths "
        "tax_share_millionths catalogue_from?",
    ),
    contract(
        "core.carton_demand",
        "One row per parcel, as the choice of cartons sees it.",
        "parcel_id",
        "parcel_id shipped_on shipped_month item_type packing_method? carton_code? cut_height_in? piece_count "
        "is_rectangular sides_source length_in? width_in? height_in? scale_weight_lb? "
        "packed_contents_key? conditions_key? spent_cents?",
    ),
)
