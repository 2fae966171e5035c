"""The seven kinds of record a shop brings in.

The single source for validation, the data dictionary, the template files of `dunnage init` and the column-map
proposal: which columns a record has (`?`: may be unknown) and the rules between them. What a column means stands in
models/columns. The reference tables that a shop keeps itself stand in models/reference.py.
"""

from models.contracts import record
from models.rules import AtMost, Needs, OneOf, all_or_none, sides

SALES = record(
    "sales",
    "One row per sale line: one item type and quantity that one buyer bought.",
    "sale_id line_number | sold_at channel? item_type? sku? title? quantity item_price_cents shipping_charged_cents "
    "shipping_tax_cents? shipping_refunded_cents? marketplace_fee_cents? is_fee_on_shipping? is_price_of_line? "
    "is_shipping_of_sale? is_fee_of_sale? destination_prefix? parcel_id? sale_state? deliver_by?",
    # What is given back beyond the shipping paid was paid for goods: a column that holds more is another refund.
    rules=(
        OneOf(("item_type", "sku", "title")),
        *(AtMost(f"shipping_{part}_cents", "shipping_charged_cents") for part in ("tax", "refunded")),
    ),
)

CARTONS = record(
    "cartons",
    "One row per carton size and the day from which its entry is valid.",
    "carton_code effective_from | carton_style? inside_length_in inside_width_in inside_height_in outside_length_in? "
    "outside_width_in? outside_height_in? board_in? tare_lb? unit_cost_cents is_cuttable? minimum_height_in? "
    "telescope_overlap_in? on_hand? counted_on? minimum_order? pack_quantity? "
    "is_price_of_several? lead_time_days?",
    rules=(
        AtMost("inside_width_in", "inside_length_in"),
        AtMost("inside_length_in", "outside_length_in"),
        AtMost("inside_width_in", "outside_width_in"),
        AtMost("inside_height_in", "outside_height_in"),
        AtMost("minimum_height_in", "inside_height_in"),
        AtMost("telescope_overlap_in", "inside_height_in"),
        Needs("is_price_of_several", "pack_quantity"),
    ),
    past="counted_on",
)

WEIGHTS = record(
    "weights",
    "One row per parcel and sale line packed in it: the bench log. A parcel of several lines has several rows; one "
    "that is only marked, as on a printed list, has one row without a line.",
    "parcel_id sale_id? line_number? | packed_quantity? shipped_on? carrier? service? zone? is_residential? "
    "destination_prefix? declared_value_cents? carton_code? cut_height_in? packing_method? assigned_method? "
    "is_rectangular? scale_weight_lb? length_in? width_in? height_in? packer? pack_minutes? shipment_id?",
    rules=(
        Needs("line_number", "sale_id"),
        *all_or_none(("line_number", "packed_quantity")),
        OneOf(("sale_id", "shipped_on", "carton_code", "packing_method", "scale_weight_lb", "length_in")),
        *all_or_none(sides()),
        Needs("cut_height_in", "carton_code"),
    ),
    sorts=(sides(),),
    shapes=(
        "parcel_id sale_id line_number packed_quantity shipped_on carrier service",
        "parcel_id carton_code packing_method",
        "parcel_id sale_id shipped_on scale_weight_lb",
    ),
)

CHARGES = record(
    "charges",
    "One row per line of a carrier's invoice.",
    "carrier invoice_number line_number | invoiced_on parcel_id? sale_id? shipped_on? service? zone? charge_code "
    "charge_kind? amount_cents invoice_total_cents? billed_weight_lb? billed_length_in? billed_width_in? "
    "billed_height_in? shipment_id?",
    rules=(*all_or_none(sides("billed_")), AtMost("shipped_on", "invoiced_on")),
    sorts=(sides("billed_"),),
    asks=("parcel_id", "shipment_id"),
)

CLAIMS = record(
    "claims",
    "One row per claim for a lost or damaged parcel.",
    "claim_id | parcel_id opened_on claim_cause claim_state filed_on? decided_on? damaged_part? packing_evidence? "
    "claimed_cents? granted_cents? paid_cents? refund_cents? replacement_cents? return_cost_cents? salvage_cents?",
    rules=(AtMost("opened_on", "filed_on"), AtMost("filed_on", "decided_on"), AtMost("paid_cents", "claimed_cents")),
)

LABELS = record(
    "labels",
    "One row per label bought: what was ordered and typed before sending. Nothing typed is a measurement.",
    "parcel_id | carrier service? zone? bought_on sale_id? quoted_cents? insured_cents? is_voided? first_scan_on? "
    "destination_prefix? typed_weight_lb? typed_length_in? typed_width_in? typed_height_in?",
    sorts=(sides("typed_"),),
)

RETURNS = record(
    "returns",
    "One row per return of goods that were not damaged on the way: the parcel they went out in and how they came back.",
    "return_id | parcel_id returned_on return_condition return_parcel_id? return_carriage_cents? depreciation_cents? "
    "resold_on?",
    rules=(AtMost("returned_on", "resold_on"),),
)
