"""Contracts of the billed check, of shipments and zones learned from bills, and of whole invoices."""

from models.contracts import Contract, contract
from models.provenance import MadeFrom, itself

_LINE = "carrier invoice_number line_number"

_BILLED_SIDES = "billed_weight_lb? billed_length_in? billed_width_in? billed_height_in?"

_CORRECTED = "corrected_invoice_number? corrected_line_number?"

_CAUSE = (
    f"dispute_id | parcel_id difference_class {_LINE} service? item_type carton_code? shipped_on shipped_month "
    f"invoiced_on {_CORRECTED} charge_name? over_cents credited_cents"
)

_LANE = "carrier service ships_from"

BILLING: tuple[Contract, ...] = (
    contract("core.repeated_lines", f"{_LINE} | parcel_id first_invoice_number first_line_number"),
    contract(
        "core.billed_charges", "parcel_id charge_kind charge_name | invoiced_on invoice_number line_number billed_cents"
    ),
    contract(
        "core.billed_parcels",
        f"parcel_id | {_LINE} invoiced_on service? zone? {_BILLED_SIDES} base_cents fuel_cents surcharge_cents "
        "unmapped_cents",
    ),
    contract("core.rechecked_charges", "request_id charge_kind charge_name | amount_cents"),
    contract(
        "core.billing_steps",
        "parcel_id charge_kind charge_name | has_least_weight own_cents lane_cents sides_cents weight_cents "
        "billed_cents",
    ),
    contract(
        "core.unexplained_charges",
        "parcel_id charge_kind charge_name difference_class | left_cents is_fuel_of_base is_fuel_of_surcharge",
    ),
    contract("core.unrated_charges", "parcel_id charge_kind charge_name | billed_cents due_cents?"),
    contract(
        "core.billed_fuel",
        "parcel_id | fuel_cents billed_fuelled_cents fuel_share_millionths is_fuel_of_base is_fuel_of_surcharge "
        "rounding_cents rounding_bias due_cents is_other_base",
    ),
    contract("core.billed_tax", "parcel_id | invoice_number line_number invoiced_on billed_cents due_cents"),
    contract("core.learned_misses", "parcel_id | tariff_key miss_cents? has_divisor has_fuel fuel_share_millionths"),
    contract(
        "core.charge_differences",
        "parcel_id difference_class charge_kind charge_name | expected_cents billed_cents difference_cents",
    ),
    contract(
        "core.upward_adjustments",
        f"{_LINE} | invoiced_on parcel_id shipped_month charge_code amount_cents {_BILLED_SIDES}",
    ),
    contract(
        "core.billed_adjustments",
        f"{_LINE} | invoiced_on parcel_id charge_code amount_cents {_BILLED_SIDES} {_CORRECTED} due_cents? "
        "difference_class",
    ),
    contract(
        "marts.billing_differences",
        f"parcel_id difference_class {_LINE} charge_kind charge_name | invoiced_on {_CORRECTED} expected_cents? "
        "billed_cents difference_cents? shipped_on shipped_month service? item_type carton_code?",
        made_from=itself("difference_cents"),
    ),
    contract("core.billing_causes", f"{_CAUSE} own_evidence? billed_evidence? last_dispute_on?"),
    contract(
        "marts.billing_disputes",
        f"{_CAUSE} dispute_state recovered_cents? marked_on? outstanding_cents own_evidence? billed_evidence? "
        "last_dispute_on? is_disputable",
        made_from=itself("over_cents"),
    ),
    contract(
        "marts.billing_totals",
        "shipped_month carrier difference_class | dispute_count over_cents credited_cents outstanding_cents "
        "disputable_count disputable_cents",
        made_from=MadeFrom("marts.billing_disputes", sums="over_cents"),
    ),
    contract(
        "marts.billing_checks",
        "shipped_month | charged_count checked_parcel_count",
        made_from=MadeFrom("core.billed_parcels"),
    ),
    contract(
        "marts.unchecked_charges",
        "shipped_month carrier difference_class charge_name | line_count parcel_count billed_cents",
        made_from=MadeFrom("marts.billing_differences", sums="billed_cents", amount="b.difference_cents"),
    ),
    contract(
        "analysis.rate_curves",
        "carrier service zone tariff_code? learned_first_on | learned_last_on is_in_use bill_count seen_from_lb? "
        "seen_to_lb? left_out_error_cents? left_out_error_share? widest_interval_share? left_out_unpriced_count",
        "One row per lane, tariff and days whose bills give its prices: how far prices learned from them miss.",
        made_from=MadeFrom(
            "core.charge_lines",
            "carrier",
            amount="b.amount_cents",
            where="b.charge_kind = 'base' and b.amount_cents > 0 and b.billed_weight_lb > 0 "
            "and coalesce(b.service, p.service) = r.service and coalesce(b.zone, p.zone) = r.zone "
            "and coalesce(b.shipped_on, p.shipped_on) between r.learned_first_on and r.learned_last_on",
            is_among=True,  # of several base lines of an invoice the largest counts
        ),
    ),
    contract("core.tariff_days", "carrier service shipped_on | tariff_key ships_from"),
    contract("core.charted_zones", "tariff_key service? destination_prefix | chart_prefix zone"),
    contract(
        "core.billed_side_counts",
        "shipped_month tariff_key service carton_code effective_from? cut_height_in? side billed_in | first_on "
        "parcel_count",
    ),
    contract("core.correction_counts", "shipped_month carrier charge_code amount_cents | line_count"),
    contract("core.correction_codes", "carrier charge_code amount_cents | is_fixed_fee"),
    contract(
        "core.learned_sides",
        "tariff_key service carton_code cut_height_in? | parcel_count learned_length_in learned_width_in "
        "learned_height_in",
    ),
    contract("core.shipment_members", "parcel_id | carrier shipment_id lead_parcel_id parcel_count"),
    contract(
        "core.shipment_parcels",
        "parcel_id | carrier shipment_id lead_parcel_id parcel_count is_charged is_billed_whole",
    ),
    contract("core.parcel_charges", "parcel_id cost_kind | amount_cents"),
    contract("core.shipments", "carrier shipment_id | parcel_id parcel_count lane_key? service_key? shipment_lacking?"),
    contract("core.shipment_totals", "parcel_id | billed_weight_milli price_cents? discount_cents?"),
    contract("core.shipment_charges", "parcel_id charge_kind charge_name | amount_cents?"),
    contract(
        "core.shipment_differences",
        "parcel_id difference_class charge_kind charge_name | expected_cents? billed_cents difference_cents",
    ),
    contract(
        "core.billed_zone_counts",
        f"shipped_month {_LANE} destination_code chart_prefix? charted_zone? zone | parcel_count",
    ),
    contract(
        "core.learned_zones",
        f"{_LANE} destination_prefix | zone zone_bill_count agreeing_count agreeing_share is_decided is_certain",
    ),
    contract("core.parcel_zones", "parcel_id | ships_from zone_source zone? learned_prefix? is_certain"),
    contract(
        "marts.zone_sources",
        "shipped_month carrier zone_source | parcel_count",
        made_from=MadeFrom("core.parcel_zones"),
    ),
    contract(
        "marts.zones_against_chart",
        f"{_LANE} chart_prefix zone | charted_zone parcel_count bill_count other_share",
        made_from=MadeFrom("core.billed_parcels", "carrier service zone", is_among=True),
    ),
    contract(
        "core.invoice_parts",
        "shipped_month carrier invoice_number | invoiced_on line_count parcel_count amount_cents tax_cents "
        "least_stated_cents? most_stated_cents?",
    ),
    contract(
        "marts.invoice_totals",
        "carrier invoice_number | invoiced_on line_count parcel_count amount_cents tax_cents stated_cents? "
        "total_check short_cents?",
        made_from=MadeFrom("core.charge_lines", sums="amount_cents"),
    ),
    contract(
        "analysis.missing_invoices",
        "carrier after_invoice_number invoice_gap | after_on missing_numbers? missing_invoice_count "
        "before_invoice_number? before_on? expected_on? usual_interval_days? numbered_count? followed_count? "
        "waiting_from_on waiting_to_on waiting_count waiting_valued_count waiting_cents",
        "One row per carrier and place in its run of invoices where one or more never came.",
        made_from=MadeFrom(
            "waiting_parcels",
            "carrier",
            sums="waiting_cents",
            where="b.shipped_on between r.waiting_from_on and r.waiting_to_on",
        ),
    ),
    contract(
        "marts.unpaid_recoveries",
        "recovery_kind recovery_id | parcel_id carrier item_type granted_on? granted_cents? received_cents "
        "owed_cents? days_waiting?",
        made_from=itself("owed_cents"),
    ),
)
