"""Contracts of core.*: records joined and resolved, one row per real thing."""

from __future__ import annotations

from models.contracts import Contract, contract, names
from models.money import columns_of
from models.records import CHARGES
from models.rules import all_or_none, in_order, sides

CORE: tuple[Contract, ...] = (
    contract(
        "shop.settings",
        "One row: what the shop's settings say to the SQL models.",
        "currency",
        "currency wage_cents_per_hour sharing_divisor_in3_per_lb reach_in reach_lb shown_length_unit "
        "shown_length_factor shown_length_steps shown_weight_unit shown_weight_factor shown_weight_steps",
    ),
    contract(
        "core.cartons",
        "One row per carton size and period of validity.",
        "carton_code effective_from",
        "carton_code effective_from effective_before? carton_style? inside_length_in inside_width_in "
        "inside_height_in outside_length_in outside_width_in outside_height_in board_in? tare_lb? unit_cost_cents "
        "is_cuttable minimum_height_in? telescope_overlap_in? on_hand? counted_on? minimum_order? "
        "pack_quantity? lead_time_days?",
    ),
    contract(
        "core.current_cartons",
        "One row per carton of the catalogue: its entry in force on the last day of shipping on record, else the next.",
        "carton_code",
        "carton_code effective_from",
    ),
    contract(
        "core.telescoped_cartons",
        "One row per entry of a carton of which two may be slid into one another: both as one carton.",
        "carton_code effective_from",
        "carton_code single_code effective_from effective_before? inside_length_in inside_width_in inside_height_in "
        "outside_length_in outside_width_in outside_height_in board_in? tare_lb? unit_cost_cents telescope_overlap_in",
    ),
    contract(
        "core.packing_methods",
        "One row per packing method and period of validity.",
        "packing_method effective_from",
        "packing_method effective_from effective_before? material_cents pack_minutes clearance_in packing_steps?",
    ),
    contract(
        "core.sale_lines",
        "One row per sale line, its item type resolved.",
        "sale_id line_number",
        "sale_id line_number sold_at sale_state channel item_type has_unknown_title quantity goods_cents "
        "shipping_charged_cents shipping_refunded_cents allowance_cents marketplace_fee_cents "
        "fee_on_shipping_cents destination_prefix? deliver_by?",
    ),
    contract(
        "core.sale_parcels",
        "One row per sale line and parcel in which it went, as the sale itself says.",
        "parcel_id sale_id line_number",
        "parcel_id sale_id line_number",
    ),
    contract(
        "core.parcel_references",
        "One row per parcel, sale and kind of record that names both, but for lines that the bench log packed.",
        "parcel_id sale_id named_by",
        "parcel_id sale_id named_by",
    ),
    contract(
        "core.undated_parcels",
        "One row per parcel of the bench log whose day nothing says.",
        "parcel_id",
        "parcel_id",
    ),
    contract(
        "core.labelled_parcels",
        "One row per parcel of which the bench log packed no line, and known sale in it.",
        "parcel_id sale_id",
        "parcel_id sale_id named_by",
    ),
    contract(
        "core.packed_lines",
        "One row per parcel and sale line packed in it, before amounts are shared.",
        "parcel_id sale_id line_number",
        "parcel_id sale_id line_number item_type channel packed_quantity paid_basis line_quantity? cost_basis "
        "parcel_count",
    ),
    contract(
        "core.reclaimed_tax",
        "One row per parcel, or carrier and month of account fees, whose tax the shop gets back: below zero.",
        "parcel_id",
        "parcel_id amount_cents",
    ),
    contract(
        "core.parcel_amounts",
        "One row per parcel, or carrier and month of account fees, and kind of cost that is not zero.",
        "parcel_id cost_kind",
        "parcel_id cost_kind amount_cents",
    ),
    contract(
        "core.shared_amounts",
        "One row per parcel, sale line and kind of money that is shared.",
        "parcel_id sale_id line_number cost_kind",
        "parcel_id sale_id line_number cost_kind amount_cents",
    ),
    contract(
        "core.parcel_lines",
        "One row per parcel and sale line packed in it.",
        "parcel_id sale_id line_number",
        f"parcel_id sale_id line_number item_type channel packed_quantity cost_basis {' '.join(columns_of('paid'))}",
    ),
    contract(
        "core.parcels",
        "One row per parcel that any record names.",
        "parcel_id",
        "parcel_id shipped_on shipped_month carrier service? zone? is_residential? destination_prefix? "
        "declared_value_cents? item_type channel line_count piece_count carton_code? cut_height_in? "
        "packing_method? is_rectangular scale_weight_lb? length_in? width_in? height_in? packer? pack_minutes? "
        "carton_cents material_cents labour_cents has_bench_log has_charges has_sale dated_by",
        (*in_order(sides()), *all_or_none(sides())),
    ),
    contract(
        "core.parcel_doubts",
        "One row per parcel and doubt about its bench log.",
        "parcel_id doubt",
        "parcel_id doubt shipped_on carton_code? cut_height_in? inside_height_in? minimum_height_in? packing_method?",
    ),
    contract(
        "core.charge_lines",
        "One row per line of a carrier's invoice, its kind and surcharge resolved.",
        "carrier invoice_number line_number",
        f"{names(CHARGES, but='parcel_id charge_kind')} parcel_id charge_kind invoice_month is_account names_no_parcel "
        "surcharge?",
    ),
    contract(
        "core.base_charge_days",
        "One row per month of shipping, carrier and day of shipping that its base charges state.",
        "shipped_month carrier stated_on",
        "shipped_month carrier stated_on?",
    ),
    contract(
        "core.claims",
        "One row per claim.",
        "claim_id",
        "claim_id parcel_id opened_on claim_cause claim_state filed_on? decided_on? damaged_part? "
        "packing_evidence? claimed_cents? granted_cents? paid_cents refund_cents replacement_cents return_cost_cents "
        "salvage_cents loss_cents last_step_on appealed_on? delivered_on?",
    ),
)
