"""Contracts of the carton tables: the ladder of every review, and what `dunnage cartons` finds."""

from models.contracts import Contract, contract
from models.provenance import CHOSEN_FOR, MadeFrom, judged

# A change of carton and a rule of services for the same item type.
_JOINT = (
    "item_type carton_code best_carton_code is_cut is_saving_alone carrier service zone_low? other_carrier "
    "other_service | size_source zone_high? parcel_count refused_parcel_count joint_month_cents"
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
        "analysis.joint_changes",
        _JOINT,
        "One row per change of carton and advised rule of services of an item type: the parcels of the last twelve "
        "months that both change, and what both save together beyond what each saves alone.",
        made_from=judged("item_type carton_code"),
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
