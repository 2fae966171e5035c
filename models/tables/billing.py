"""Contracts of the billed check: core.* on the way to it, marts.billing_* for the reader."""

from __future__ import annotations

from models.contracts import Contract, contract
from models.made_from import MadeFrom, itself
from models.tables.shipments import SHIPMENTS
from models.tables.zones import ZONES

_LINE = "carrier invoice_number line_number"
_BILLED_SIDES = "billed_weight_lb? billed_length_in? billed_width_in? billed_height_in?"
_CORRECTED = "corrected_invoice_number? corrected_line_number?"

_CAUSE = (
    f"dispute_id parcel_id difference_class {_LINE} service? item_type carton_code? shipped_on shipped_month "
    f"invoiced_on {_CORRECTED} charge_name? over_cents credited_cents"
)


BILLING: tuple[Contract, ...] = (
    contract(
        "core.repeated_lines",
        "One row per invoice line that says again what an earlier line of the parcel says.",
        _LINE,
        f"{_LINE} parcel_id first_invoice_number first_line_number",
    ),
    contract(
        "core.billed_charges",
        "One row per parcel, kind and name of charge that the tariff could explain: what was billed.",
        "parcel_id charge_kind charge_name",
        "parcel_id charge_kind charge_name invoiced_on invoice_number line_number billed_cents",
    ),
    contract(
        "core.billed_parcels",
        "One row per parcel with a base charge: what its first invoice says of it.",
        "parcel_id",
        f"parcel_id {_LINE} invoiced_on service? zone? {_BILLED_SIDES} base_cents fuel_cents surcharge_cents "
        "unmapped_cents",
    ),
    contract(
        "core.rechecked_charges",
        "One row per rechecked request, kind and name of charge: what the tariff makes of it.",
        "request_id charge_kind charge_name",
        "request_id charge_kind charge_name amount_cents",
    ),
    contract(
        "core.billing_steps",
        "One row per parcel billed otherwise than expected, kind and name of charge.",
        "parcel_id charge_kind charge_name",
        "parcel_id charge_kind charge_name has_least_weight own_cents lane_cents sides_cents weight_cents billed_cents",
    ),
    contract(
        "core.unexplained_charges",
        "One row per parcel, kind and name of charge that the billed facts leave unexplained.",
        "parcel_id charge_kind charge_name difference_class",
        "parcel_id charge_kind charge_name left_cents difference_class is_fuel_of_base is_fuel_of_surcharge",
    ),
    contract(
        "core.unrated_charges",
        "One row per parcel billed otherwise than expected and charge that no surcharge row of its tariff states.",
        "parcel_id charge_kind charge_name",
        "parcel_id charge_kind charge_name billed_cents due_cents?",
    ),
    contract(
        "core.billed_fuel",
        "One row per parcel billed otherwise than expected: the fuel billed and what is due.",
        "parcel_id",
        "parcel_id fuel_cents billed_fuelled_cents fuel_share_millionths is_fuel_of_base is_fuel_of_surcharge "
        "rounding_cents rounding_bias due_cents is_other_base",
    ),
    contract(
        "core.billed_tax",
        "One row per parcel whose tariff states its tax: the tax billed and the most that is due on what was billed.",
        "parcel_id",
        "parcel_id invoice_number line_number invoiced_on billed_cents due_cents",
    ),
    contract(
        "core.unrated_fuel",
        "One row per parcel with charges that its tariff does not rate: the fuel that may be taken on them.",
        "parcel_id",
        "parcel_id on_unrated_cents",
    ),
    contract(
        "core.learned_misses",
        "One row per parcel billed otherwise than expected by learned prices: how far they may miss.",
        "parcel_id",
        "parcel_id tariff_key miss_cents? has_divisor has_fuel fuel_share_millionths",
    ),
    contract(
        "core.charge_differences",
        "One row per parcel, cause, kind and name of charge that was billed otherwise than expected.",
        "parcel_id difference_class charge_kind charge_name",
        "parcel_id difference_class charge_kind charge_name expected_cents billed_cents difference_cents",
    ),
    *SHIPMENTS,
    contract(
        "core.upward_adjustments",
        "One row per later correction upwards of a parcel's charges that repeats no other line.",
        _LINE,
        f"{_LINE} invoiced_on parcel_id shipped_month charge_code amount_cents {_BILLED_SIDES}",
    ),
    contract(
        "core.billed_adjustments",
        "One row per later correction upwards: what it corrects, and what the tariff would take by it.",
        _LINE,
        f"{_LINE} invoiced_on parcel_id charge_code amount_cents {_BILLED_SIDES} {_CORRECTED} due_cents? "
        "difference_class",
    ),
    contract(
        "marts.billing_differences",
        "One row per parcel, cause, invoice line and kind and name of charge billed otherwise than expected.",
        f"parcel_id difference_class {_LINE} charge_kind charge_name",
        f"parcel_id difference_class {_LINE} charge_kind charge_name invoiced_on {_CORRECTED} expected_cents? "
        "billed_cents difference_cents? shipped_on shipped_month service? item_type carton_code?",
        made_from=itself("difference_cents"),
    ),
    contract(
        "core.billing_causes",
        "One row per cause that raised a parcel's bill, whatever became of it.",
        "dispute_id",
        f"{_CAUSE} own_evidence? billed_evidence? last_dispute_on?",
    ),
    contract(
        "marts.billing_disputes",
        "One row per cause that raised a parcel's bill.",
        "dispute_id",
        f"{_CAUSE} dispute_state recovered_cents? marked_on? outstanding_cents own_evidence? billed_evidence? "
        "last_dispute_on? is_disputable",
        made_from=itself("over_cents"),
    ),
    contract(
        "marts.billing_totals",
        "One row per month of shipping, carrier and cause: what was billed beyond the tariff.",
        "shipped_month carrier difference_class",
        "shipped_month carrier difference_class dispute_count over_cents credited_cents outstanding_cents "
        "disputable_count disputable_cents",
        made_from=MadeFrom("marts.billing_disputes", sums="over_cents"),
    ),
    contract(
        "marts.billing_checks",
        "One row per month of shipping: how many parcels with a base charge could be checked against a tariff.",
        "shipped_month",
        "shipped_month charged_count checked_parcel_count",
        made_from=MadeFrom("core.billed_parcels"),
    ),
    contract(
        "marts.unchecked_charges",
        "One row per month of shipping, carrier, cause and charge that is no billing error.",
        "shipped_month carrier difference_class charge_name",
        "shipped_month carrier difference_class charge_name line_count parcel_count billed_cents",
        made_from=MadeFrom("marts.billing_differences", sums="billed_cents", amount="b.difference_cents"),
    ),
    contract(
        "analysis.rate_curves",
        "One row per lane, tariff and days whose bills give its prices: how far prices learned from them miss.",
        "carrier service zone tariff_code learned_first_on",
        "carrier service zone tariff_code? learned_first_on learned_last_on is_in_use bill_count seen_from_lb? "
        "seen_to_lb? left_out_error_cents? left_out_error_share? widest_interval_share? "
        "left_out_unpriced_count",
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
    contract(
        "core.tariff_days",
        "One row per carrier, service (empty where unknown) and day of shipping: the tariff that holds on it.",
        "carrier service shipped_on",
        "carrier service shipped_on tariff_key ships_from",
    ),
    contract(
        "core.charted_zones",
        "One row per tariff, service and destination: the zone that its chart gives, and the entry that gives it.",
        "tariff_key service destination_prefix",
        "tariff_key service? destination_prefix chart_prefix zone",
    ),
    *ZONES,
    contract(
        "core.billed_side_counts",
        "One row per month of shipping, tariff, service, carton and its catalogue entry, cut height, side and length.",
        "shipped_month tariff_key service carton_code effective_from cut_height_in side billed_in",
        "shipped_month tariff_key service carton_code effective_from? cut_height_in? side billed_in first_on "
        "parcel_count",
    ),
    contract(
        "core.correction_counts",
        "One row per month of shipping, carrier, charge code and amount of later corrections upwards.",
        "shipped_month carrier charge_code amount_cents",
        "shipped_month carrier charge_code amount_cents line_count",
    ),
    contract(
        "core.correction_codes",
        "One row per carrier, charge code and amount of later corrections upwards.",
        "carrier charge_code amount_cents",
        "carrier charge_code amount_cents is_fixed_fee",
    ),
    contract(
        "core.learned_sides",
        "One row per tariff, service, carton and cut height: the sides that the carrier billed for it.",
        "tariff_key service carton_code cut_height_in",
        "tariff_key service carton_code cut_height_in? parcel_count learned_length_in learned_width_in "
        "learned_height_in",
    ),
)
