"""Contracts of the carton tables: the ladder of every review, and what `dunnage cartons` finds."""

from __future__ import annotations

from models.contracts import Contract, contract
from models.made_from import CHOSEN_FOR, MadeFrom, judged

# Written by every review.
REVIEWED = (
    contract(
        "analysis.bundles",
        "One row per item type, number of pieces and clearance: wrapped together, as the shop states or parcels show.",
        "item_type bundled_count bundle_source clearance_in",
        "item_type bundled_count bundle_source bundle_length_in bundle_width_in bundle_height_in turns clearance_in "
        "parcel_count?",
        made_from=MadeFrom("core.carton_demand", "item_type", is_among=True),
    ),
    contract(
        "analysis.carton_coverage",
        "One row per month of shipping: parcels whose carton was judged, and those left out.",
        "shipped_month",
        "shipped_month parcel_count considered_parcel_count bounded_parcel_count left_out_parcel_count "
        "open_fit_parcel_count open_saving_cents tare_parcel_count void_fill_cents?",
        made_from=MadeFrom("core.carton_demand", amount="b.spent_cents"),
    ),
    contract(
        "analysis.carton_ladder",
        "One row per month of shipping, item type and step: from what was spent to cartons made to measure.",
        "shipped_month item_type ladder_step",
        "shipped_month item_type ladder_step rung parcel_count better_parcel_count ladder_cents saving_cents",
        made_from=judged("shipped_month item_type", is_among=False),
    ),
    contract(
        "analysis.carton_ladder_months",
        "One row per month of shipping and step: the ladder over all item types.",
        "shipped_month ladder_step",
        "shipped_month ladder_step rung parcel_count better_parcel_count ladder_cents saving_cents",
        made_from=judged("shipped_month", is_among=False),
    ),
    contract(
        "analysis.best_cartons",
        "One row per month of shipping, item type, contents, packing method, carton used and best carton from stock.",
        "shipped_month item_type contents packing_method carton_code used_height_in best_carton_code best_height_in "
        "is_cut",
        "shipped_month item_type contents packing_method carton_code used_height_in? best_carton_code best_height_in? "
        "is_cut parcel_count spent_cents best_cents saving_cents",
        made_from=judged("shipped_month item_type packing_method carton_code"),
    ),
    contract(
        "analysis.bench_sheets",
        "One row per item type and packing method: the carton for one piece, and how to cut it.",
        "item_type packing_method",
        "item_type packing_method best_carton_code parcel_count inside_length_in inside_width_in inside_height_in "
        "length_in width_in height_in is_cut telescope_overlap_in? score_at_in? trim_at_in? flap_in? needed_flap_in? "
        "along_length_in? along_width_in? along_height_in? left_in? front_in? bottom_in? "
        "clearance_in expected_weight_lb? material_cents? pack_minutes? packing_steps? saving_cents turns?",
        made_from=judged(where="b.piece_count = 1"),
    ),
    contract(
        "analysis.bench_carriers",
        "One row per item type, packing method and carrier: the sheet's closed sides as its tariff rounds them, by the "
        "service of most such parcels.",
        "item_type packing_method carrier",
        "item_type packing_method carrier service parcel_count label_length_in label_width_in label_height_in "
        "length_unit length_at_most_in?",
        made_from=judged(),
    ),
)

# Written by `dunnage cartons`, and kept until it runs again.
CHOSEN = (
    contract(
        "analysis.assortment_runs",
        "One row: the latest choice of sizes, on which months, and how sure it is.",
        "made_at",
        "made_at chosen_from_on chosen_to_on held_out_month_count parcel_count size_count candidate_count "
        "candidate_statement monthly_cents bound_monthly_cents gap_share is_proven "
        "stocking_month_cents once_cost_cents",
        made_from=CHOSEN_FOR,
    ),
    contract(
        "analysis.assortment",
        "One row per size to stock.",
        "size_code",
        "size_code size_source inside_length_in inside_width_in inside_height_in unit_cost_cents served_parcel_count "
        "monthly_use spent_cents best_cents saving_year_cents",
        made_from=CHOSEN_FOR,
    ),
    contract(
        "analysis.assortment_curve",
        "One row per number of sizes: what the demand costs with so many, within the proven gap of the least.",
        "size_count",
        "size_count monthly_cents bound_monthly_cents gap_share is_proven is_knee",
        made_from=CHOSEN_FOR,
    ),
    contract(
        "analysis.assortment_saving",
        "One row per months and comparison: what the chosen sizes save.",
        "saving_part saving_against",
        "saving_part saving_against parcel_count week_count saving_per_parcel_cents saving_low_cents? "
        "saving_high_cents? saving_likely_low_cents? saving_likely_high_cents? saving_cents",
        made_from=CHOSEN_FOR,
    ),
    contract(
        "analysis.assortment_ladder",
        "One row per month of shipping and item type: what the chosen sizes would have cost.",
        "shipped_month item_type",
        "shipped_month item_type parcel_count better_parcel_count ladder_cents saving_cents",
        made_from=judged(is_among=False),
    ),
    contract(
        "analysis.assortment_cartons",
        "One row per month of shipping, item type, contents, packing method, carton used and size to stock.",
        "shipped_month item_type contents packing_method carton_code used_height_in size_code best_height_in is_cut",
        "shipped_month item_type contents packing_method carton_code used_height_in? size_code size_source "
        "best_height_in? is_cut parcel_count spent_cents best_cents saving_cents",
        made_from=judged("shipped_month item_type packing_method carton_code"),
    ),
    contract(
        "analysis.purchase_advice",
        "One row per size that is stocked or chosen: use, stock, what to order, what would be left over.",
        "size_code",
        "size_code size_source is_chosen advice monthly_use stock_left? stock_months? order_count? "
        "order_unit_cents? order_cents? leftover_cents? saving_year_cents",
        made_from=CHOSEN_FOR,
    ),
    contract(
        "analysis.parcel_plans",
        "One row per plan and contents: parcels of one sale joined, or the pieces of a parcel split.",
        "plan contents_before contents",
        "plan contents_before contents plan_sale_count cheaper_count spent_cents unchanged_cents "
        "plan_cents plan_saving_cents",
        made_from=CHOSEN_FOR,
    ),
)

CARTON_TABLES: tuple[Contract, ...] = (*REVIEWED, *CHOSEN)
