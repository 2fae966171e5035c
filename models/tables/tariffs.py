"""Contracts of shop.tariff_*: tariffs as the rating reads them. Keys are dense whole numbers over all tariffs.

Weights, lengths and volumes are thousandths of the tariff's own unit (`_milli`); shares are millionths of one.
"""

from models.contracts import Contract, contract

TARIFFS: tuple[Contract, ...] = (
    contract(
        "shop.tariffs",
        "tariff_key | tariff_code carrier tariff_source effective_from effective_to? currency length_unit weight_unit "
        "ships_from? length_per_in weight_per_lb dispute_days? dispute_from? claim_days? label_refund_days? "
        "learned_first_on? learned_last_on? is_tax_in_prices is_tax_reclaimable rounding_cents rounding_bias "
        "tax_rounding_cents tax_rounding_bias",
        "One row per tariff: a carrier's dated price list.",
    ),
    contract(
        "shop.tariff_claim_terms",
        "tariff_key claim_step | term_length term_unit term_start",
        "One row per tariff and step of a claim whose last day it states.",
    ),
    contract(
        "shop.tariff_services",
        "service_key | tariff_key service side_rounding side_step_milli side_bias_milli divisor? divisor_above_milli "
        "density_divisor? non_rectangular_factor weight_step_milli minimum_weight_milli scale_grain_milli top_step "
        "declared_grain_cents declared_most_steps has_residential has_area",
        "One row per tariff and service: how it rounds and what volume weighs.",
    ),
    contract(
        "shop.tariff_scale_bands",
        "service_key scale_band | weight_step_number first_milli last_milli",
        "One row per service and band of scale weights that are rated alike.",
    ),
    contract(
        "shop.tariff_prices",
        "service_key zone price_size weight_milli | price_cents miss_cents? interval_cents?",
        "One row per service, zone, size (empty for any) and weight that can be billed.",
    ),
    contract(
        "shop.tariff_seasons",
        "season_key | tariff_key valid_from valid_to",
        "One row per tariff and span of days in which the same surcharges and discounts are valid.",
    ),
    contract(
        "shop.tariff_fuel",
        "fuel_key | service_key valid_from valid_to share_millionths is_of_base is_of_surcharge fuel_basis_key",
        "One row per service and span of days with one fuel share.",
    ),
    contract(
        "shop.tariff_fuel_bases",
        "fuel_basis_key surcharge |",
        "One row per basis of fuel and surcharge that it is taken on; an empty name for the base price.",
    ),
    contract(
        "shop.tariff_tax",
        "service_key zone valid_from | valid_to share_millionths",
        "One row per service, zone and span of days with one tax share.",
    ),
    contract(
        "shop.tariff_surcharges",
        "surcharge_key | tariff_key surcharge_number surcharge charge_code is_residential_only area? valid_from "
        "valid_to fixed_cents? share_millionths? is_of_base is_of_surcharge above_cents? step_cents? "
        "step_amount_millicents? charge_group? charge_rank minimum_weight_milli at_most_cents? at_least_cents? "
        "declared_share_millionths? per_weight_above_milli? per_weight_step_milli? per_weight_millicents? "
        "missing_step_milli? missing_millicents? is_greatest rounding_cents rounding_bias",
        "One row per surcharge row of a tariff.",
    ),
    contract(
        "shop.tariff_scopes",
        "surcharge_key service_key zone |",
        "One row per surcharge row, service and zone in which it can be charged.",
    ),
    contract(
        "shop.tariff_conditions",
        "service_key measure is_inclusive threshold_milli | condition_bit passed_milli",
        "One row per service and distinct condition of its surcharges, limits and sizes.",
    ),
    contract(
        "shop.tariff_alternatives",
        "surcharge_key service_key alternative mask | decisive measure? threshold_milli?",
        "One row per surcharge row, service, alternative under which it is charged and pattern of bits that meets it.",
    ),
    contract(
        "shop.tariff_limits",
        "service_key beyond mask | decisive",
        "One row per service, measure beyond or below which nothing is carried, and pattern of bits that meets it.",
    ),
    contract(
        "shop.tariff_classes",
        "service_key class_number mask | price_size decisive",
        "One row per service, size that its prices go by, in their order, and pattern of bits that meets it.",
    ),
    contract(
        "shop.tariff_discounts",
        "service_key zone target_kind target_surcharge valid_from above_milli | share_millionths minimum_charge_cents "
        "valid_to up_to_milli rounding_cents rounding_bias",
        "One row per service, zone, discounted line, span of days and weights: at most one is valid for a parcel.",
    ),
    contract(
        "shop.tariff_extras",
        "extra_key service_key zone | tariff_key extra_kind charge_name charge_code valid_from valid_to fixed_cents? "
        "share_millionths? is_of_declared at_least_cents? at_most_cents? rounding_cents rounding_bias",
        "One row per option or event of a tariff, service and zone in which it may be billed.",
    ),
    contract(
        "shop.tariff_shipments",
        "service_key parcels_at_least | parcels_at_most is_of_total has_own_base weight_added? less_cents? "
        "less_millionths? is_less_on_all minimum_cents rounding_cents rounding_bias",
        "One row per service and number of parcels from which a rule for shipments counts.",
    ),
    contract(
        "shop.tariff_shipment_charges",
        "service_key parcels_at_least surcharge |",
        "One row per rule for shipments and surcharge that a shipment bears once.",
    ),
    contract(
        "shop.tariff_places",
        "tariff_key destination_prefix | is_whole place_key",
        "One row per tariff and postal prefix that belongs to one of its delivery areas.",
    ),
    contract(
        "shop.tariff_zones",
        "tariff_key service destination_prefix | is_whole zone",
        "One row per tariff, service (empty for all) and postal prefix: its zone, seen from where the shop ships.",
    ),
    contract(
        "shop.tariff_promises", "service_key zone | promised_days", "One row per service and zone with promised days."
    ),
    contract(
        "shop.tariff_areas", "place_key tariff_key area |", "One row per place, tariff and delivery area it belongs to."
    ),
)
