"""Columns of shop.tariff_*: tariffs as the rating reads them. Keys are dense whole numbers over all tariffs.

Weights, lengths and volumes are thousandths of the tariff's own unit (`_milli`); shares are millionths of one.
"""

from __future__ import annotations

from models.fields import Definition, cents, choice, count, date, flag, number, signed_cents, text
from models.tariffs.condition_levels import MOST_BITS
from models.tariffs.rules import (
    DISPUTE_STARTS,
    EXTRA_KINDS,
    KINDS,
    LENGTHS_PER_INCH,
    MEASURES,
    SIDE_ROUNDINGS,
    WEIGHTS_PER_POUND,
)

MOST = 1_000_000_000_000
# A set of conditions is the sum of their bits and must stay within a whole number of 63 bits.
MOST_SUM = 2**MOST_BITS
# What may make a line apply.
REASONS = (*MEASURES, "billed_weight", "residential", "area", "declared_value", "missing_weight")

TARIFFS: dict[str, Definition] = {
    "tariff_key": count("Tariff", 1, least=1),
    "service_key": count("Service of one tariff", 1, least=1),
    "season_key": count("Span of days of one tariff in which the same rows are valid", 1, least=1),
    "surcharge_key": count("Surcharge row of one tariff", 1, least=1),
    "surcharge_number": count("Place of the row in the tariff file", 1, least=1),
    "extra_key": count("Option or event of one tariff", 1, least=1),
    "fuel_key": count("Fuel row of one tariff", 1, least=1),
    "place_key": count("Set of delivery areas of a tariff that a postal prefix belongs to; 0 for none", 1),
    "is_whole": flag("Letters and a number: no further figure of the code may follow", False),
    "promised_days": count("Days from shipping to delivery that the carrier promises", 3),
    "tariff_code": text("Code of the tariff", "northline-2026"),
    "ships_from": text("Postal code that the shop ships from; empty where the tariff does not say", "60601"),
    "chart_prefix": text("Entry of the tariff's zone chart: the beginning of postal codes", "606"),
    "charted_zone": text("Zone by the tariff's chart", "4", label="By the chart"),
    "tariff_source": text("Where the figures come from", "Invented for the demo shop"),
    "effective_to": date("Last day of shipping under the tariff", "2026-01-11"),
    "length_unit": choice("The tariff's unit of length", "in", tuple(LENGTHS_PER_INCH)),
    "weight_unit": choice("The tariff's unit of weight", "lb", tuple(WEIGHTS_PER_POUND)),
    "length_per_in": number("The tariff's units of length in one inch", 2.54, least=0),
    "weight_per_lb": number("The tariff's units of weight in one pound", 0.45359237, least=0),
    "dispute_days": count("Days in which an invoice may be disputed", 60),
    "dispute_from": choice("Day from which they count", "invoiced_on", DISPUTE_STARTS),
    "claim_days": count("Last day after shipping to file a claim for damage", 60),
    "label_refund_days": count("Last day after buying on which an unused label is refunded; empty: not known", 30),
    "side_rounding": choice("How a side is rounded", "up", SIDE_ROUNDINGS),
    "side_step_milli": count("A rounded side is a multiple of this", 1000, least=1),
    "side_bias_milli": count("Added to a side before it is cut down to a multiple", 999),
    "divisor": number("Volume over this is the dimensional weight", 139.0, least=0),
    "divisor_above_milli": count("Volume above which dimensional weight counts", 0, most=MOST),
    "non_rectangular_factor": number("Multiplies the volume of tubes and bundles", 0.785, least=0),
    "weight_step_milli": count("A rated weight is a multiple of this", 1000, least=1),
    "minimum_weight_milli": count("Least rated weight; of a surcharge the least billed weight", 1000, most=MOST),
    "scale_grain_milli": count("Scale weights between two multiples of this are rated alike", 1000, least=1),
    "top_step": count("Step of weight that stands for all beyond the prices", 151, least=1),
    "declared_grain_cents": cents("Declared values between two multiples of this are rated alike", 10000, least=1),
    "declared_most_steps": count("Multiples above which declared value adds nothing", 8),
    "has_residential": flag("Whether a row of the service depends on home delivery", True),
    "has_area": flag("Whether a row of the service depends on the delivery area", True),
    "scale_band": count("Place of the band among those of the service, lightest first", 23),
    "weight_step_number": count("Step of weight that the band lies in; 0 for what rounds to nothing", 12),
    "first_milli": count("Least weight of the band", 11_001, most=MOST),
    "last_milli": count("Greatest weight of the band", 12_000, most=MOST),
    "weight_milli": count("Billed weight", 12000, least=1, most=MOST),
    "price_cents": cents("Base price, before any discount", 1480),
    "interval_cents": cents(
        "Nineteen bills of twenty lie this near to a learned price; empty where published, or not known", 60
    ),
    "miss_cents": cents(
        "How far from a learned price a bill is no evidence of an error; empty where published, or not known", 90
    ),
    "has_divisor": flag("Whether the tariff knows what volume weighs", True),
    "has_fuel": flag("Whether the tariff states fuel for the service", True),
    "is_residential_only": flag("Only for home deliveries", True),
    "area": text("Delivery area named by the tariff", "remote"),
    "valid_from": date("First day of shipping", "2026-01-12"),
    "valid_to": date("Last day of shipping", "2026-10-04"),
    "fixed_cents": signed_cents("Fixed amount of a surcharge; of a case, their sum after discounts", 1850),
    "share_millionths": count("Share taken", 142_500, most=MOST),
    "is_of_base": flag("Taken on carriage after its discount", True),
    "is_of_surcharge": flag("Taken on surcharges", True),
    "above_cents": cents("Declared value that is free", 10000),
    "step_cents": cents("Step of declared value", 10000, least=1),
    "step_amount_millicents": count("Thousandths of a cent for each step of declared value begun", 120_000, most=MOST),
    "fuel_basis_key": count("What fuel is taken on", 1, least=1),
    "is_tax_in_prices": flag("The billed charges contain the tax", False),
    "is_tax_reclaimable": flag("The shop gets the tax back", False),
    "rounding_cents": cents("Amounts are rounded to a multiple of this", 1, least=1),
    "rounding_bias": count("Millionths of a cent added before an amount is cut down to a multiple", 500_000, most=MOST),
    "tax_rounding_cents": cents("Tax is rounded to a multiple of this", 1, least=1),
    "tax_rounding_bias": count("Millionths of a cent added before tax is cut down to a multiple", 500_000, most=MOST),
    "declared_share_millionths": count("Share taken of the declared value", 20_000, most=MOST),
    "per_weight_above_milli": count("Billed weight that is free of the amount for each step", 30_000, most=MOST),
    "per_weight_step_milli": count("Step of billed weight", 1000, least=1, most=MOST),
    "per_weight_millicents": count("Thousandths of a cent for each step begun", 12_500, most=MOST),
    "density_divisor": number("Volume of a unit of weight at the density that surcharges look for", 288.0, least=0),
    "missing_step_milli": count("Step of the weight that is missing to a density", 1000, least=1, most=MOST),
    "missing_millicents": count("Thousandths of a cent for each step of missing weight begun", 15_000, most=MOST),
    "is_greatest": flag("Of its group the row of the greatest amount is charged, whatever the ranks", False),
    "charge_group": text("Rows of one group: only the highest rank is charged", "handling"),
    "charge_rank": count("Rank within the group", 1),
    "extra_kind": choice("Chosen by the shop, or what happened at the carrier", "option", EXTRA_KINDS),
    "is_of_declared": flag("The share is of the declared value, not of the billed base price", False),
    "at_least_cents": cents("Least that the row takes from one parcel", 500),
    "at_most_cents": cents("Most that the row takes from one parcel", 9000),
    "alternative": count("Alternative of the row: one suffices", 1, least=1),
    "measure": choice("Measure that is compared", "longest_side", REASONS),
    "is_inclusive": flag("At least; otherwise more than", False),
    "passed_milli": count(
        "Whole thousandths that a measure passes where the condition holds", 48_000, least=-1, most=MOST
    ),
    "threshold_milli": count("Compared with", 48000, most=MOST),
    "condition_bit": count("One in the field of bits that counts the held conditions on its measure", 1, most=MOST_SUM),
    "decisive": count("Bits that decide; 0 holds always", 3, most=MOST_SUM),
    "mask": count("Those among them that must be set; the others must not", 1, most=MOST_SUM),
    "beyond": text("What the service does not carry", "beyond limit: longest_side"),
    "price_size": text("Size that prices go by; empty for any", "S"),
    "class_number": count("Place of the size among those of its service", 1, least=1),
    "target_kind": choice("Kind of line that is discounted", "base", KINDS),
    "target_surcharge": text("Name of the discounted surcharge; empty for the base price", "long side"),
    "above_milli": count("Billed weight above which it counts", 0, most=MOST),
    "up_to_milli": count("Billed weight up to which it counts", 30_000, most=MOST),
    "minimum_charge_cents": cents("The discount does not go below this", 890),
}
