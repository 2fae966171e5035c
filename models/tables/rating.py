"""Contracts of rating.* and core.expected_charges: what each parcel should cost by its tariff.

The what-ifs of the build are the same tables over other requests.

Weights, lengths and volumes are in the tariff's own unit, or thousandths of it (`_milli`), unless named `_in` or `_lb`.
"""

from dataclasses import replace

from models.contracts import Contract, contract

# Where a rating may end: one row per charge line, the narrow row per request, or the prices of cells before fuel.
LINES = "core.expected_charges"
PRICED = "rating.priced"
CLASS_PRICES = "rating.class_prices"
_MILLI_SIDES = "longest_milli second_milli shortest_milli"

RATING: tuple[Contract, ...] = (
    contract(
        "rating.requests",
        "request_id | carrier service? zone? shipped_on length_in? width_in? height_in? is_rectangular "
        "scale_weight_lb? is_residential? destination_prefix? declared_value_cents? sides_source",
    ),
    contract(
        "rating.lanes",
        "lane_key | lane_class_key carrier service? zone? shipped_on tariff_key? service_key? season_key? "
        "priced_zone? length_per_in? weight_per_lb? side_step_milli? side_bias_milli? weight_step_milli? "
        "scale_grain_milli? top_step? declared_grain_cents? declared_most_steps? has_residential rounding_cents? "
        "rounding_bias? fuel_basis_key? fuel_share_millionths is_fuel_of_base is_fuel_of_surcharge "
        "tax_share_millionths? tax_rounding_cents? tax_rounding_bias? is_tax_in_prices is_tax_reclaimable lacking?",
    ),
    contract("rating.places", "service_key destination_prefix | place_key"),
    contract(
        "rating.rounded_sides", f"service_key length_in width_in height_in is_rectangular | {_MILLI_SIDES} size_key"
    ),
    contract(
        "rating.measures",
        f"size_key | service_key {_MILLI_SIDES} length_plus_girth_milli is_rectangular volume_milli dim_weight_milli "
        "size_rated_milli size_density_milli size_bits",
    ),
    contract(
        "rating.weight_bands",
        "service_key scale_band | weight_step_number first_milli last_milli scale_bits scale_rated_milli",
    ),
    contract(
        "rating.request_keys",
        "request_id | lane_key lane_class_key? fuel_share_millionths size_key? scale_band? goods_bits? "
        "rated_weight_milli? missing_weight_milli is_home place_key declared_steps?",
    ),
    contract(
        "rating.price_classes",
        "price_class_key | surcharge_class_key lane_class_key goods_bits rated_weight_milli missing_weight_milli "
        "is_home place_key declared_steps tariff_key service_key season_key zone fuel_basis_key? declared_up_to_cents "
        "case_bits",
    ),
    contract(
        "rating.surcharge_class_charges",
        "surcharge_class_key surcharge_key | alternative minimum_weight_milli fixed_cents? discount_cents?",
    ),
    contract(
        "rating.class_base_prices",
        "price_class_key | surcharge_class_key billed_weight_milli fixed_cents price_cents? discount_cents? lacking?",
    ),
    contract("rating.class_percent_charges", "price_class_key surcharge_key | alternative amount_cents"),
    contract(
        "rating.class_prices",
        "price_class_key | lane_class_key goods_bits rated_weight_milli missing_weight_milli is_home place_key "
        "declared_steps billed_weight_milli base_cents? surcharge_cents? fuelled_cents? rounding_cents? "
        "rounding_bias? lacking?",
    ),
    contract(
        "rating.class_charges",
        "price_class_key line_number | charge_kind charge_name charge_code? surcharge_key? alternative? amount_cents",
    ),
    contract(
        "rating.priced",
        "request_id | lane_key price_class_key? scale_band? base_cents? surcharge_cents? fuel_cents? tax_cents? "
        "expected_cents? lacking?",
    ),
    contract(
        "rating.rated",
        "request_id | tariff_code? length_unit? weight_unit? longest_side? second_side? shortest_side? "
        "length_plus_girth? volume? dim_weight? rated_weight? billed_weight? dim_weight_lb? rated_weight_lb? "
        "billable_weight_lb? base_cents? surcharge_cents? fuel_cents? tax_cents? expected_cents? lacking?",
    ),
    contract(
        "core.expected_charges",
        "parcel_id line_number | charge_kind charge_name charge_code? amount_cents measure? measured? threshold?",
    ),
)

# The what-ifs that the build rates; each has its requests in models/sql/whatif.
WHAT_IF_SCHEMAS = ("rechecked", "nearer", "by_name")
WHAT_IFS: tuple[Contract, ...] = tuple(
    replace(table, name=table.name.replace("rating.", f"{schema}."))
    for schema in WHAT_IF_SCHEMAS
    for table in RATING
    if table.name.startswith("rating.")
)
