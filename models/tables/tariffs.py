"""Contracts of shop.tariff_*: tariffs as the rating reads them. Keys are dense whole numbers over all tariffs.

Weights, lengths and volumes are thousandths of the tariff's own unit (`_milli`); shares are millionths of one.
"""

from __future__ import annotations

import pandera.pandas as pa

from models.contracts import contract
from models.fields import cents, choice, count, date, flag, number, text
from models.tables.vocabulary import columns
from models.tariffs.rules import DISPUTE_STARTS, KINDS, LENGTHS_PER_INCH, MEASURES, SIDE_ROUNDINGS, WEIGHTS_PER_POUND

MOST = 1_000_000_000_000
# A set of conditions is the sum of their bits and must stay within a whole number of 63 bits.
MOST_CONDITIONS = 62
MOST_BITS = 2**MOST_CONDITIONS

WORDS: dict[str, pa.Column] = {
    # Keys
    "tariff_key": count("Tariff", 1, least=1),
    "service_key": count("Service of one tariff", 1, least=1),
    "season_key": count("Span of days of one tariff in which the same rows are valid", 1, least=1),
    "surcharge_key": count("Surcharge row of one tariff", 1, least=1),
    "surcharge_number": count("Place of the row in the tariff file", 1, least=1),
    "fuel_key": count("Fuel row of one tariff", 1, least=1),
    "place_key": count("Set of delivery areas that a postal prefix belongs to; 0 for none", 1),
    # Tariff
    "tariff_code": text("Code of the tariff", "northline-2026"),
    "tariff_source": text("Where the figures come from", "Invented for the demo shop"),
    "effective_to": date("Last day of shipping under the tariff", "2026-01-11"),
    "length_unit": choice("The tariff's unit of length", "in", tuple(LENGTHS_PER_INCH)),
    "weight_unit": choice("The tariff's unit of weight", "lb", tuple(WEIGHTS_PER_POUND)),
    "length_per_in": number("The tariff's units of length in one inch", 2.54, least=0),
    "weight_per_lb": number("The tariff's units of weight in one pound", 0.45359237, least=0),
    "dispute_days": count("Days in which an invoice may be disputed", 60),
    "dispute_from": choice("Day from which they count", "invoiced_on", DISPUTE_STARTS),
    "claim_days": count("Last day after shipping to file a claim for damage", 60),
    # Service
    "side_rounding": choice("How a side is rounded", "up", SIDE_ROUNDINGS),
    "side_step_milli": count("A rounded side is a multiple of this", 1000, least=1),
    "side_bias_milli": count("Added to a side before it is cut down to a multiple", 999),
    "divisor": number("Volume over this is the dimensional weight", 139.0, least=0),
    "divisor_above_milli": count("Volume above which dimensional weight counts", 0, most=MOST),
    "non_rectangular_factor": number("Multiplies the volume of tubes and bundles", 0.785, least=0),
    "weight_step_milli": count("A rated weight is a multiple of this", 1000, least=1),
    "minimum_weight_milli": count("Least rated weight; of a surcharge the least billed weight", 1000, most=MOST),
    "scale_grain_milli": count("Scale weights between two multiples of this are rated alike", 1000, least=1),
    "top_band": count("Scale band of every weight beyond the heaviest price, condition and limit", 302),
    "declared_grain_cents": cents("Declared values between two multiples of this are rated alike", 10000, least=1),
    "declared_most_steps": count("Multiples above which declared value adds nothing", 8),
    "has_residential": flag("Whether a row of the service depends on home delivery", True),
    "has_area": flag("Whether a row of the service depends on the delivery area", True),
    # Scale bands
    "scale_band": count("Twice the multiples of the scale grain passed, and one more where between two", 23),
    "band_weight_milli": number("A weight within the band, for comparing", 11500.0, least=0),
    # Prices and rules
    "weight_milli": count("Billed weight", 12000, least=1, most=MOST),
    "price_cents": cents("Price of that weight", 1480),
    "is_residential_only": flag("Only for home deliveries", True),
    "area": text("Delivery area named by the tariff", "remote"),
    "valid_from": date("First day of shipping", "2026-01-12"),
    "valid_to": date("Last day of shipping", "2026-10-04"),
    "fixed_cents": cents("Fixed amount", 1850),
    "share_millionths": count("Share taken", 142500, most=MOST),
    "is_of_base": flag("Taken on carriage after its discount", True),
    "is_of_surcharge": flag("Taken on surcharges", True),
    "above_cents": cents("Declared value that is free", 10000),
    "step_cents": cents("Step of declared value", 10000, least=1),
    "step_amount_cents": cents("Amount for each step begun", 120),
    "charge_group": text("Rows of one group: only the highest rank is charged", "handling"),
    "charge_rank": count("Rank within the group", 1),
    "at_most_cents": cents("Most that the row takes from one parcel", 9000),
    "alternative": count("Alternative of the row: one suffices", 1, least=1),
    "measure": choice("What is compared", "longest_side", MEASURES),
    "is_inclusive": flag("At least; otherwise more than", False),
    "threshold_milli": count("Compared with", 48000, most=MOST),
    "condition_bit": count("Power of two that stands for the condition within its tariff", 1, most=MOST_BITS),
    "mask": count("Sum of the bits of an alternative's conditions; 0 holds always", 3, most=MOST_BITS),
    "target_kind": choice("Kind of line that is discounted", "base", KINDS),
    "target_surcharge": text("Name of the discounted surcharge; empty for the base price", "long side"),
    "minimum_charge_cents": cents("The discount does not go below this", 890),
}


def _columns(names: str) -> dict[str, pa.Column]:
    return columns(names, WORDS)


TARIFFS: tuple[pa.DataFrameSchema, ...] = (
    contract(
        "shop.tariffs",
        "One row per tariff: a carrier's dated price list.",
        ("tariff_key",),
        _columns(
            "tariff_key tariff_code carrier tariff_source effective_from effective_to? currency length_unit "
            "weight_unit length_per_in weight_per_lb dispute_days dispute_from claim_days "
            "learned_first_on? learned_last_on?"
        ),
    ),
    contract(
        "shop.tariff_services",
        "One row per tariff and service: how it rounds and what volume weighs.",
        ("service_key",),
        _columns(
            "service_key tariff_key service side_rounding side_step_milli side_bias_milli divisor "
            "divisor_above_milli non_rectangular_factor weight_step_milli minimum_weight_milli scale_grain_milli "
            "top_band declared_grain_cents declared_most_steps has_residential has_area"
        ),
    ),
    contract(
        "shop.tariff_scale_bands",
        "One row per service and band of scale weights that are rated alike.",
        ("service_key", "scale_band"),
        _columns("service_key scale_band band_weight_milli"),
    ),
    contract(
        "shop.tariff_prices",
        "One row per service, zone and weight that can be billed.",
        ("service_key", "zone", "weight_milli"),
        _columns("service_key zone weight_milli price_cents"),
    ),
    contract(
        "shop.tariff_seasons",
        "One row per tariff and span of days in which the same surcharges and discounts are valid.",
        ("season_key",),
        _columns("season_key tariff_key valid_from valid_to"),
    ),
    contract(
        "shop.tariff_fuel",
        "One row per tariff and span of days with one fuel share.",
        ("fuel_key",),
        _columns("fuel_key tariff_key valid_from valid_to share_millionths is_of_base is_of_surcharge"),
    ),
    contract(
        "shop.tariff_surcharges",
        "One row per surcharge row of a tariff.",
        ("surcharge_key",),
        _columns(
            "surcharge_key tariff_key surcharge_number surcharge charge_code is_residential_only area? valid_from "
            "valid_to fixed_cents? share_millionths? is_of_base is_of_surcharge above_cents? step_cents? "
            "step_amount_cents? charge_group? charge_rank minimum_weight_milli at_most_cents?"
        ),
    ),
    contract(
        "shop.tariff_scopes",
        "One row per surcharge row, service and zone in which it can be charged.",
        ("surcharge_key", "service_key", "zone"),
        _columns("surcharge_key service_key zone"),
    ),
    contract(
        "shop.tariff_conditions",
        "One row per tariff and distinct condition of its surcharges and limits.",
        ("tariff_key", "condition_bit"),
        _columns("tariff_key condition_bit measure is_inclusive threshold_milli"),
    ),
    contract(
        "shop.tariff_alternatives",
        "One row per surcharge row and alternative under which it is charged; `condition_bit` is its first condition.",
        ("surcharge_key", "alternative"),
        _columns("surcharge_key alternative mask condition_bit?"),
    ),
    contract(
        "shop.tariff_limits",
        "One row per service and measure beyond which a parcel is not carried.",
        ("service_key", "condition_bit"),
        _columns("service_key condition_bit measure threshold_milli"),
    ),
    contract(
        "shop.tariff_discounts",
        "One row per service, discounted line and span of days: at most one is valid on a day.",
        ("service_key", "target_kind", "target_surcharge", "valid_from"),
        _columns("service_key target_kind target_surcharge share_millionths minimum_charge_cents valid_from valid_to"),
    ),
    contract(
        "shop.tariff_places",
        "One row per postal prefix that belongs to a delivery area of any tariff.",
        ("destination_prefix",),
        _columns("destination_prefix place_key"),
    ),
    contract(
        "shop.tariff_areas",
        "One row per place, tariff and delivery area it belongs to.",
        ("place_key", "tariff_key", "area"),
        _columns("place_key tariff_key area"),
    ),
)
