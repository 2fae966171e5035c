"""Contracts of core.*: records joined and resolved, one row per real thing; sales and labels as they are shown."""

from models.contracts import Contract, contract, names
from models.money import columns_of
from models.provenance import MadeFrom, itself
from models.records import CHARGES
from models.records import LABELS as RECORD
from models.rules import all_or_none, in_order, sides

_FACTS = "goods? clearance_in? bound_length_in? bound_width_in? bound_height_in?"

CORE: tuple[Contract, ...] = (
    contract(
        "shop.settings",
        "currency | wage_cents_per_hour is_tax_reclaimed shipping_tax_share sharing_divisor_in3_per_lb reach_in "
        "reach_lb "
        "shown_length_unit shown_length_factor shown_length_steps shown_weight_unit shown_weight_factor "
        "shown_weight_steps",
        "One row: what the shop's settings say to the SQL models.",
    ),
    contract(
        "core.cartons",
        "carton_code effective_from | effective_before? carton_style? inside_length_in inside_width_in "
        "inside_height_in outside_length_in outside_width_in outside_height_in board_in? tare_lb? unit_cost_cents "
        "is_cuttable minimum_height_in? telescope_overlap_in? on_hand? counted_on? minimum_order? pack_quantity? "
        "lead_time_days?",
    ),
    contract("core.current_cartons", "carton_code | effective_from"),
    contract("core.current_packing_methods", "packing_method | effective_from"),
    contract("core.renamed_cartons", "carton_code | today_code renamed_on"),
    contract(
        "core.telescoped_cartons",
        "carton_code effective_from | single_code effective_before? inside_length_in inside_width_in inside_height_in "
        "outside_length_in outside_width_in outside_height_in board_in? tare_lb? unit_cost_cents telescope_overlap_in",
    ),
    contract(
        "core.packing_methods",
        "packing_method effective_from | effective_before? material_cents pack_minutes clearance_in packing_steps?",
    ),
    contract(
        "core.sale_lines",
        "sale_id line_number | sold_at sale_state channel item_type has_unknown_title quantity goods_cents "
        "shipping_charged_cents shipping_tax_cents shipping_refunded_cents allowance_cents marketplace_fee_cents "
        "fee_on_shipping_cents "
        "destination_prefix? deliver_by?",
    ),
    contract("core.sale_parcels", "parcel_id sale_id line_number |"),
    contract("core.parcel_references", "parcel_id sale_id named_by |"),
    contract("core.undated_parcels", "parcel_id |"),
    contract("core.labelled_parcels", "parcel_id sale_id | named_by"),
    contract(
        "core.packed_lines",
        "parcel_id sale_id line_number | item_type channel destination_prefix? packed_quantity paid_basis "
        "is_content_known line_quantity? cost_basis parcel_count",
    ),
    contract("core.reclaimed_tax", "parcel_id | amount_cents"),
    contract("core.parcel_amounts", "parcel_id cost_kind | amount_cents"),
    contract("core.shared_amounts", "parcel_id sale_id line_number cost_kind | amount_cents"),
    contract(
        "core.parcel_lines",
        "parcel_id sale_id line_number | item_type channel packed_quantity is_content_known cost_basis "
        f"{' '.join(columns_of('paid'))}",
    ),
    contract(
        "core.parcels",
        "parcel_id | shipped_on shipped_month carrier service? zone? is_residential? destination_prefix? "
        "declared_value_cents? item_type channel line_count piece_count carton_code? cut_height_in? packing_method? "
        "is_rectangular scale_weight_lb? length_in? width_in? height_in? packer? pack_minutes? carton_cents "
        "material_cents labour_cents has_bench_log has_charges has_sale dated_by",
        rules=(*in_order(sides()), *all_or_none(sides())),
    ),
    contract(
        "core.parcel_doubts",
        "parcel_id doubt | shipped_on carton_code? cut_height_in? inside_height_in? minimum_height_in? packing_method?",
    ),
    contract(
        "core.charge_lines",
        f"{names(CHARGES, but='parcel_id charge_kind')} parcel_id charge_kind invoice_month is_account names_no_parcel "
        "surcharge?",
    ),
    contract("core.base_charge_days", "shipped_month carrier stated_on? |"),
    contract(
        "core.claims",
        "claim_id | parcel_id opened_on claim_cause claim_state filed_on? decided_on? damaged_part? packing_evidence? "
        "claimed_cents? granted_cents? paid_cents refund_cents replacement_cents return_cost_cents salvage_cents "
        "is_cost_stated claim_cost_cents loss_cents last_step_on appealed_on? delivered_on?",
    ),
    contract(
        "shop.title_words",
        "place word | word_count item_type",
        "One row per rule for titles and word of it; kept by the shop in words.toml.",
    ),
    contract(
        "shop.charge_words",
        "carrier charge_code | charge_kind surcharge?",
        "One row per carrier and charge code that the shop said the kind of; kept in words.toml.",
    ),
    contract("core.sale_titles", "sale_id line_number | title item_type?"),
    contract("core.size_classes", "parcel_id | size_class"),
    contract(
        "marts.charge_word_costs",
        "shipped_month carrier charge_code charge_kind | line_count charged_parcel_count amount_cents",
        made_from=MadeFrom("word_charges", sums="amount_cents"),
    ),
    contract(
        "marts.sale_states",
        "sold_month sale_state | line_count parcel_count shipping_charged_cents shipping_tax_cents "
        "shipping_refunded_cents",
        made_from=MadeFrom("sale_state_parcels"),
    ),
    contract("core.unsent_sales", "sale_id line_number | sold_at item_type quantity gap_cents"),
    contract("core.parcel_gaps", "parcel_id gap | shipped_month gap_cents?"),
    contract(
        "marts.record_gaps",
        "shipped_month gap | missing_count due_count valued_count missing_cents?",
        made_from=MadeFrom("gap_records", sums="missing_cents", amount="b.gap_cents"),
    ),
    contract("core.labels", f"{names(RECORD, but='is_voided')} is_voided refund_by_on?"),
    contract(
        "core.quoted_parcels",
        "parcel_id | shipped_month item_type quoted_cents billed_cents above_quote_cents is_heavier is_larger",
    ),
    contract(
        "marts.quoted_against_billed",
        "shipped_month item_type | parcel_count quoted_cents billed_cents above_quote_cents above_quote_count "
        "heavier_count larger_count",
        made_from=MadeFrom("core.quoted_parcels", sums="billed_cents"),
    ),
    contract(
        "marts.label_scans",
        "carrier | label_count scanned_count",
        made_from=MadeFrom("core.labels", where="not b.is_voided"),
    ),
    contract(
        "marts.unused_labels",
        "parcel_id | carrier service? sale_id? bought_on quoted_cents? unscanned_days refund_by_on? refund_days_left?",
        made_from=itself("quoted_cents"),
    ),
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
