"""Contracts of shop.tariff_*: tariffs as the rating reads them. Keys are dense whole numbers over all tariffs.

Weights, lengths and volumes are thousandths of the tariff's own unit (`_milli`); shares are millionths of one.
"""

from __future__ import annotations

from models.contracts import Contract, contract

TARIFFS: tuple[Contract, ...] = (
    contract(
        "shop.tariffs",
        "One row per tariff: a carrier's dated price list.",
        "tariff_key",
        "tariff_key tariff_code carrier tariff_source effective_from effective_to? currency length_unit "
        "weight_unit ships_from? length_per_in weight_per_lb dispute_days dispute_from claim_days label_refund_days? "
        "learned_first_on? learned_last_on? is_tax_in_prices is_tax_reclaimable rounding_cents rounding_bias "
        "tax_rounding_cents tax_rounding_bias",
    ),
    contract(
        "shop.tariff_claim_terms",
        "One row per tariff and step of a claim whose last day it states.",
        "tariff_key claim_step",
        "tariff_key claim_step term_length term_unit term_start",
    ),
    contract(
        "shop.tariff_services",
        "One row per tariff and service: how it rounds and what volume weighs.",
        "service_key",
        "service_key tariff_key service side_rounding side_step_milli side_bias_milli divisor? "
        "divisor_above_milli density_divisor? non_rectangular_factor weight_step_milli minimum_weight_milli "
        "scale_grain_milli top_step declared_grain_cents declared_most_steps has_residential has_area",
    ),
    contract(
        "shop.tariff_scale_bands",
        "One row per service and band of scale weights that are rated alike.",
        "service_key scale_band",
        "service_key scale_band weight_step_number first_milli last_milli",
    ),
    contract(
        "shop.tariff_prices",
        "One row per service, zone, size (empty for any) and weight that can be billed.",
        "service_key zone price_size weight_milli",
        "service_key zone price_size weight_milli price_cents miss_cents? interval_cents?",
    ),
    contract(
        "shop.tariff_seasons",
        "One row per tariff and span of days in which the same surcharges and discounts are valid.",
        "season_key",
        "season_key tariff_key valid_from valid_to",
    ),
    contract(
        "shop.tariff_fuel",
        "One row per service and span of days with one fuel share.",
        "fuel_key",
        "fuel_key service_key valid_from valid_to share_millionths is_of_base is_of_surcharge fuel_basis_key",
    ),
    contract(
        "shop.tariff_fuel_bases",
        "One row per basis of fuel and surcharge that it is taken on; an empty name for the base price.",
        "fuel_basis_key surcharge",
        "fuel_basis_key surcharge",
    ),
    contract(
        "shop.tariff_tax",
        "One row per service, zone and span of days with one tax share.",
        "service_key zone valid_from",
        "service_key zone valid_from valid_to share_millionths",
    ),
    contract(
        "shop.tariff_surcharges",
        "One row per surcharge row of a tariff.",
        "surcharge_key",
        "surcharge_key tariff_key surcharge_number surcharge charge_code is_residential_only area? valid_from "
        "valid_to fixed_cents? share_millionths? is_of_base is_of_surcharge above_cents? step_cents? "
        "step_amount_millicents? charge_group? charge_rank minimum_weight_milli at_most_cents? at_least_cents? "
        "declared_share_millionths? per_weight_above_milli? per_weight_step_milli? per_weight_millicents? "
        "missing_step_milli? missing_millicents? is_greatest "
        "rounding_cents rounding_bias",
    ),
    contract(
        "shop.tariff_scopes",
        "One row per surcharge row, service and zone in which it can be charged.",
        "surcharge_key service_key zone",
        "surcharge_key service_key zone",
    ),
    contract(
        "shop.tariff_conditions",
        "One row per service and distinct condition of its surcharges, limits and sizes.",
        "service_key measure is_inclusive threshold_milli",
        "service_key condition_bit measure is_inclusive threshold_milli passed_milli",
    ),
    contract(
        "shop.tariff_alternatives",
        "One row per surcharge row, service, alternative under which it is charged and pattern of bits that meets it.",
        "surcharge_key service_key alternative mask",
        "surcharge_key service_key alternative decisive mask measure? threshold_milli?",
    ),
    contract(
        "shop.tariff_limits",
        "One row per service, measure beyond or below which nothing is carried, and pattern of bits that meets it.",
        "service_key beyond mask",
        "service_key beyond decisive mask",
    ),
    contract(
        "shop.tariff_classes",
        "One row per service, size that its prices go by, in their order, and pattern of bits that meets it.",
        "service_key class_number mask",
        "service_key class_number price_size decisive mask",
    ),
    contract(
        "shop.tariff_discounts",
        "One row per service, zone, discounted line, span of days and weights: at most one is valid for a parcel.",
        "service_key zone target_kind target_surcharge valid_from above_milli",
        "service_key zone target_kind target_surcharge share_millionths minimum_charge_cents valid_from valid_to "
        "above_milli up_to_milli "
        "rounding_cents rounding_bias",
    ),
    contract(
        "shop.tariff_extras",
        "One row per option or event of a tariff, service and zone in which it may be billed.",
        "extra_key service_key zone",
        "extra_key tariff_key service_key zone extra_kind charge_name charge_code valid_from valid_to fixed_cents? "
        "share_millionths? is_of_declared at_least_cents? at_most_cents? rounding_cents rounding_bias",
    ),
    contract(
        "shop.tariff_shipments",
        "One row per service and number of parcels from which a rule for shipments counts.",
        "service_key parcels_at_least",
        "service_key parcels_at_least parcels_at_most is_of_total has_own_base weight_added? less_cents? "
        "less_millionths? is_less_on_all minimum_cents rounding_cents rounding_bias",
    ),
    contract(
        "shop.tariff_shipment_charges",
        "One row per rule for shipments and surcharge that a shipment bears once.",
        "service_key parcels_at_least surcharge",
        "service_key parcels_at_least surcharge",
    ),
    contract(
        "shop.tariff_places",
        "One row per tariff and postal prefix that belongs to one of its delivery areas.",
        "tariff_key destination_prefix",
        "tariff_key destination_prefix is_whole place_key",
    ),
    contract(
        "shop.tariff_zones",
        "One row per tariff, service (empty for all) and postal prefix: its zone, seen from where the shop ships.",
        "tariff_key service destination_prefix",
        "tariff_key service destination_prefix is_whole zone",
    ),
    contract(
        "shop.tariff_promises",
        "One row per service and zone with promised days.",
        "service_key zone",
        "service_key zone promised_days",
    ),
    contract(
        "shop.tariff_areas",
        "One row per place, tariff and delivery area it belongs to.",
        "place_key tariff_key area",
        "place_key tariff_key area",
    ),
)
