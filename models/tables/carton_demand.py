"""Contracts of parcels as the choice of cartons sees them: goods, ways, and who went which way with what."""

from __future__ import annotations

from models.contracts import Contract, contract

_FACTS = "goods? clearance_in? bound_length_in? bound_width_in? bound_height_in?"


BOXED: tuple[Contract, ...] = (
    contract("core.carton_catalogues", "effective_from | effective_before?"),
    contract("core.parcel_goods", f"parcel_id | {_FACTS}"),
    contract("core.packed_contents", f"packed_contents_key | {_FACTS}"),
    contract(
        "core.shipping_conditions",
        "conditions_key | lane_class_key is_home place_key declared_steps scale_band fuel_share_millionths "
        "tax_share_millionths catalogue_from?",
    ),
    contract(
        "core.carton_demand",
        "parcel_id | shipped_on shipped_month item_type packing_method? carton_code? cut_height_in? piece_count "
        "is_rectangular sides_source length_in? width_in? height_in? scale_weight_lb? packed_contents_key? "
        "conditions_key? spent_cents?",
    ),
)
