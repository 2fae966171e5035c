"""Contracts of the stock of cartons: what is left, what to order and when, what stands in for one that has run out."""

from models.contracts import Contract, contract
from models.provenance import MadeFrom

_PACKED = MadeFrom("core.parcels", "carton_code", is_among=True)

CARTON_STOCK: tuple[Contract, ...] = (
    contract(
        "marts.carton_days",
        "shipped_on carton_code | parcel_count",
        made_from=MadeFrom("core.parcels", "shipped_on carton_code"),
    ),
    contract(
        "marts.carton_stock",
        "carton_code | inside_length_in inside_width_in inside_height_in board_in? unit_cost_cents minimum_order? "
        "pack_quantity? lead_time_days? on_hand? counted_on? packed_since_count? unnamed_since_count? is_recount_due "
        "stock_left?",
        made_from=_PACKED,
    ),
    contract(
        "analysis.carton_orders",
        "carton_code | order_state stock_left? on_hand? counted_on? packed_since_count? unnamed_since_count? "
        "last_used_on? packed_to_on? use_basis? next_use? runs_out_on? lead_time_days? lead_time_use? reserve_count? "
        "reorder_at_count? order_by_on? order_count? order_unit_cents? order_cents? order_months? order_basis? "
        "storage_month_cents? order_keep_cents? order_extra_cents? order_pays_months? is_order_paying?",
        "One row per carton of the catalogue: what is left, what will be used, whether and how many to order.",
        made_from=_PACKED,
    ),
    contract(
        "analysis.carton_substitutes",
        "carton_code contents packing_method substitute_code? is_cut? best_height_in? | parcel_count substitute_left? "
        "extra_cents? extra_per_parcel_cents?",
        "One row per carton that has run out, or whose next order lasts longer than a year, contents and packing "
        "method of the last 13 weeks, and the next best carton.",
        made_from=MadeFrom("core.carton_demand", "carton_code packing_method", amount="b.spent_cents", is_among=True),
    ),
)
