"""Contracts of the carton tables: the ladder of every review, what `dunnage cartons` finds, stock and what to order,
and placement.*: how the goods of one parcel lie in a carton, which is made on demand and never stored.
"""

from models.contracts import Contract, contract
from models.provenance import CHOSEN_FOR, MadeFrom, judged

# A change of carton and a rule of services for the same item type.
_JOINT = (
    "item_type carton_code best_carton_code is_cut is_saving_alone carrier service zone_low? other_carrier "
    "other_service | size_source zone_high? parcel_count refused_parcel_count joint_month_cents"
)

_HELD_OUT = (
    "item_type carton_code best_carton_code is_cut | size_source held_out_parcel_count week_count "
    "saving_per_parcel_cents? saving_likely_low_cents? saving_likely_high_cents? is_advised"
)

# Written by every review.
REVIEWED = (
    contract(
        "analysis.bundles",
        "item_type bundled_count bundle_source clearance_in | bundle_length_in bundle_width_in bundle_height_in turns "
        "parcel_count?",
        "One row per item type, number of pieces and clearance: wrapped together, as the shop states or parcels show.",
        made_from=MadeFrom("core.carton_demand", "item_type", is_among=True),
    ),
    contract(
        "analysis.carton_coverage",
        "shipped_month | parcel_count considered_parcel_count bounded_parcel_count left_out_parcel_count "
        "open_fit_parcel_count open_saving_cents tare_parcel_count void_fill_cents?",
        "One row per month of shipping: parcels whose carton was judged, and those left out.",
        made_from=MadeFrom("core.carton_demand", amount="b.spent_cents"),
    ),
    contract(
        "analysis.carton_ladder",
        "shipped_month item_type ladder_step | rung parcel_count better_parcel_count ladder_cents saving_cents",
        "One row per month of shipping, item type and step: from what was spent to cartons made to measure.",
        made_from=judged("shipped_month item_type", is_among=False),
    ),
    contract(
        "analysis.carton_ladder_months",
        "shipped_month ladder_step | rung parcel_count better_parcel_count ladder_cents saving_cents",
        "One row per month of shipping and step: the ladder over all item types.",
        made_from=judged("shipped_month", is_among=False),
    ),
    contract(
        "analysis.best_cartons",
        "shipped_month item_type contents packing_method carton_code used_height_in? best_carton_code best_height_in? "
        "is_cut | parcel_count spent_cents best_cents saving_cents",
        "One row per month of shipping, item type, contents, packing method, carton used and best carton from stock.",
        made_from=judged("shipped_month item_type packing_method carton_code"),
    ),
    contract(
        "analysis.changes_held_out",
        _HELD_OUT,
        "One row per change of carton: what it saves in the months held out, for each parcel of the item type in the "
        "carton used.",
        made_from=judged("item_type carton_code"),
    ),
    contract(
        "analysis.joint_changes",
        _JOINT,
        "One row per change of carton and advised rule of services of an item type: the parcels of the last twelve "
        "months that both change, and what both save together beyond what each saves alone.",
        made_from=judged("item_type carton_code"),
    ),
    contract(
        "analysis.joint_methods",
        "item_type best_method carrier service zone_low? other_carrier other_service | current_method zone_high? "
        "parcel_count refused_parcel_count joint_month_cents",
        "One row per item type whose packing method should change and advised rule of services: of the parcels sampled "
        "those that both change, and what both save together beyond what each saves alone.",
        made_from=judged("item_type"),
    ),
    contract(
        "analysis.bench_sheets",
        "item_type packing_method | best_carton_code parcel_count inside_length_in inside_width_in inside_height_in "
        "length_in width_in height_in is_cut telescope_overlap_in? score_at_in? trim_at_in? flap_in? needed_flap_in? "
        "along_length_in? along_width_in? along_height_in? left_in? front_in? bottom_in? clearance_in "
        "expected_weight_lb? material_cents? pack_minutes? packing_steps? saving_cents turns?",
        "One row per item type and packing method: the carton for one piece, and how to cut it.",
        made_from=judged(where="b.piece_count = 1"),
    ),
    contract(
        "analysis.bench_carriers",
        "item_type packing_method carrier | service parcel_count label_length_in label_width_in label_height_in "
        "label_girth_in length_unit length_at_most_in? girth_at_most_in?",
        "One row per item type, packing method and carrier: the sheet's closed sides as its tariff rounds them, by "
        "the service of most such parcels.",
        made_from=judged(),
    ),
)

# Written by `dunnage cartons`, and kept until it runs again.
CHOSEN = (
    contract(
        "analysis.assortment_runs",
        "made_at | chosen_from_on chosen_to_on held_out_month_count parcel_count size_count candidate_count "
        "candidate_statement monthly_cents bound_monthly_cents gap_share is_proven stocking_month_cents "
        "once_cost_cents",
        "One row: the latest choice of sizes, on which months, and how sure it is.",
        made_from=CHOSEN_FOR,
    ),
    contract(
        "analysis.assortment",
        "size_code | size_source inside_length_in inside_width_in inside_height_in unit_cost_cents "
        "served_parcel_count monthly_use spent_cents best_cents saving_year_cents",
        "One row per size to stock.",
        made_from=CHOSEN_FOR,
    ),
    contract(
        "analysis.assortment_curve",
        "size_count | monthly_cents bound_monthly_cents gap_share is_proven is_knee",
        "One row per number of sizes: what the demand costs with so many, within the proven gap of the least.",
        made_from=CHOSEN_FOR,
    ),
    contract(
        "analysis.assortment_demands",
        "year_demand | demand_parcels monthly_cents best_monthly_cents regret_month_cents",
        "One row per demand of the year to come, where there are several: what the sizes to stock cost under it.",
        made_from=CHOSEN_FOR,
    ),
    contract(
        "analysis.assortment_growth",
        "item_type | compared_month_count parcel_count year_ago_parcel_count growth_ratio? growth_low growth_high? "
        "is_growth_proved",
        "One row per item type: its parcels in the last whole months against the same months a year before.",
        made_from=MadeFrom("core.carton_demand", amount="b.spent_cents", is_among=True),
    ),
    contract(
        "analysis.assortment_saving",
        "saving_part saving_against | parcel_count week_count saving_per_parcel_cents saving_low_cents? "
        "saving_high_cents? saving_likely_low_cents? saving_likely_high_cents? saving_cents",
        "One row per months and comparison: what the chosen sizes save.",
        made_from=CHOSEN_FOR,
    ),
    contract(
        "analysis.assortment_ladder",
        "shipped_month item_type | parcel_count better_parcel_count ladder_cents saving_cents",
        "One row per month of shipping and item type: what the chosen sizes would have cost.",
        made_from=judged(is_among=False),
    ),
    contract(
        "analysis.assortment_cartons",
        "shipped_month item_type contents packing_method carton_code used_height_in? size_code best_height_in? is_cut "
        "| size_source parcel_count spent_cents best_cents saving_cents",
        "One row per month of shipping, item type, contents, packing method, carton used and size to stock.",
        made_from=judged("shipped_month item_type packing_method carton_code"),
    ),
    contract(
        "analysis.assortment_changes_held_out",
        _HELD_OUT,
        "One row per change to a size to stock: what it saves in the months held out, for each parcel of the item type "
        "in the carton used.",
        made_from=judged("item_type carton_code"),
    ),
    contract(
        "analysis.assortment_joint_changes",
        _JOINT,
        "One row per change to a size to stock and advised rule of services of an item type: the parcels of the last "
        "twelve months that both change, and what both save together beyond what each saves alone.",
        made_from=judged("item_type carton_code"),
    ),
    contract(
        "analysis.purchase_advice",
        "size_code | size_source is_chosen advice monthly_use stock_left? stock_months? order_count? "
        "order_unit_cents? order_cents? leftover_cents? saving_year_cents",
        "One row per size that is stocked or chosen: use, stock, what to order, what would be left over.",
        made_from=CHOSEN_FOR,
    ),
    contract(
        "analysis.parcel_plans",
        "plan contents_before contents | plan_sale_count cheaper_count spent_cents unchanged_cents plan_cents "
        "plan_saving_cents",
        "One row per plan and contents: parcels of one sale joined, or the pieces of a parcel split.",
        made_from=CHOSEN_FOR,
    ),
)

CARTON_TABLES: tuple[Contract, ...] = (*REVIEWED, *CHOSEN)

# Made on demand.
_INSIDE = "inside_length_in inside_width_in inside_height_in"
PLACEMENTS: dict[str, Contract] = {
    "placement.cartons": contract(
        "placement.cartons",
        f"looked_at | carton_code {_INSIDE} is_cut is_end_opening clearance_in piece_count fitted fit_reason",
        "One row per carton looked at: whether the parcel's goods fit it.",
    ),
    "placement.pieces": contract(
        "placement.pieces",
        f"looked_at piece_number | carton_code {_INSIDE} item_type along_length_in along_width_in along_height_in "
        "left_in front_in bottom_in lies_at packing_line",
        "One row per carton looked at and piece: where it lies.",
    ),
}

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
