"""Contracts of rating.* and core.expected_charges: what each parcel should cost by its tariff.

Weights, lengths and volumes are in the tariff's own unit, or thousandths of it (`_milli`), unless named `_in` or `_lb`.
"""

from __future__ import annotations

import pandera.pandas as pa

from models.contracts import contract
from models.fields import (
    cents,
    choice,
    count,
    date,
    fact_key,
    flag,
    number,
    pounds,
    signed_cents,
    text,
)
from models.tables.tariffs import MOST, MOST_BITS, WORDS
from models.tables.vocabulary import columns
from models.tariffs.rules import MEASURES

EXPECTED_KINDS = ("base", "surcharge", "fuel")
REASONS = (*MEASURES, "billed_weight", "residential", "area", "declared_value")
LACKING = (
    "no tariff on that day",
    "service unknown",
    "service not in the tariff",
    "zone unknown",
    "zone not in the tariff",
    "sides unknown",
    "weight unknown",
    "weight beyond the prices",
    *(f"beyond limit: {measure}" for measure in MEASURES),
)
SIDES_SOURCES = ("measured", "learned", "carton", "unknown", "asked")
# Where a rating may end: one row per charge line, the narrow row per request, or the prices of cells before fuel.
LINES = "core.expected_charges"
PRICED = "rating.priced"
CELL_PRICES = "rating.cell_prices"
_MILLI = "In thousandths of the tariff's unit"

_WORDS: dict[str, pa.Column] = WORDS | {
    "request_id": text("Parcel, or what stands for it in a what-if", "NL40017733"),
    "sides_source": choice("Where the sides come from", "measured", SIDES_SOURCES),
    "lane_key": fact_key("Carrier, service, zone and day"),
    "lane_class_key": fact_key("Service, season and zone: lanes that differ in fuel only"),
    "size_key": count("Service and rounded sides", 1, least=1),
    "cell_key": fact_key("Combination of all that decides the price before fuel"),
    "case_key": fact_key("A cell without its weight: all that decides surcharges"),
    "fuel_share_millionths": count("Fuel's share on that day", 142500, most=MOST),
    "is_fuel_of_base": flag("Fuel is taken on carriage", True),
    "is_fuel_of_surcharge": flag("Fuel is taken on surcharges", True),
    "lacking": choice("What the tariff or the record lacks; empty where the parcel is priced", LACKING[0], LACKING),
    "beyond": choice("Measure beyond what the service carries", "longest_side", MEASURES),
    "longest_milli": count(f"Longest side. {_MILLI}", 49000, least=0, most=MOST),
    "second_milli": count(f"Second side. {_MILLI}", 8000, least=0, most=MOST),
    "shortest_milli": count(f"Shortest side. {_MILLI}", 8000, least=0, most=MOST),
    "length_plus_girth_milli": count(f"Longest side and twice each other. {_MILLI}", 81000, most=MOST),
    "volume_milli": count(f"Volume, by the factor where not rectangular. {_MILLI}", 3136000, most=10**18),
    "dim_weight_milli": count(f"Dimensional weight; 0 where it does not count. {_MILLI}", 22561, most=10**18),
    "rated_weight_milli": count(f"Rated weight. {_MILLI}", 23000, most=10**18),
    "billed_weight_milli": count(f"Rated weight, or the least that a surcharge bills. {_MILLI}", 40000, most=10**18),
    "size_bits": count("Sum of the bits of conditions on sides that hold", 1, most=MOST_BITS),
    "scale_bits": count("Sum of the bits of conditions on the scale weight that hold", 0, most=MOST_BITS),
    "goods_bits": count("Both together", 1, most=MOST_BITS),
    "case_bits": count("These and the bits of conditions on the rated weight", 1, most=MOST_BITS),
    "is_home": flag("Home delivery, where the service cares", True),
    "declared_steps": count("Multiples of the declared grain begun", 2),
    "declared_up_to_cents": cents("Declared value, up to the end of its step", 20000, most=10**15),
    "price_cents": cents("Base price before its discount", 1480),
    "discount_cents": signed_cents("Discount on the base price; not positive", -178),
    "fixed_cents": signed_cents("Fixed surcharges, after their discounts where summed", 1850),
    "longest_side": number("Longest side, rounded", 49.0, least=0),
    "second_side": number("Second side, rounded", 8.0, least=0),
    "shortest_side": number("Shortest side, rounded", 8.0, least=0),
    "length_plus_girth": number("Longest side and twice each other", 81.0, least=0),
    "volume": number("Volume, by the factor where not rectangular", 3136.0, least=0),
    "dim_weight": number("Dimensional weight; 0 where it does not count", 22.561, least=0),
    "rated_weight": number("What we expect to be billed, before surcharges' least weights", 23.0, least=0),
    "billed_weight": number("What we expect to be billed", 40.0, least=0),
    "dim_weight_lb": pounds("Dimensional weight", 22.561, zero=True, most=1e12),
    "rated_weight_lb": pounds("Rated weight", 23.0, zero=True, most=1e12),
    "billed_weight_lb": pounds("Billed weight we expect", 40.0, zero=True, most=1e12),
    "expected_cents": signed_cents("All that we expect to be charged", 3550),
    "charge_kind": choice("Kind of charge", "surcharge", EXPECTED_KINDS),
    "charge_name": text("base, discount, fuel or the surcharge's name", "long side"),
    "reason": choice("Measure that made the line apply", "longest_side", REASONS),
    "measured": number("What was measured, in the tariff's unit or cents", 49.0, least=0),
    "threshold": number("What it had to pass", 48.0, least=0),
    "shipped_on": date("Day of shipping", "2026-10-05"),
}
_WORDS["measure"] = _WORDS["reason"]
_MILLI_SIDES = "longest_milli second_milli shortest_milli"

# What other rooms' tables share with the rating.
_SHARED = ("request_id", "tariff_key", "tariff_code", "cell_key", "is_fuel_of_base", "is_fuel_of_surcharge")
KEYS: dict[str, pa.Column] = {name: _WORDS[name] for name in _SHARED}
_OF_A_WAY = (
    *("lane_class_key", "is_home", "place_key", "declared_steps", "scale_band", "fuel_share_millionths"),
    "sides_source",
)
WAYS: dict[str, pa.Column] = KEYS | {name: _WORDS[name] for name in _OF_A_WAY}
CHARGED: dict[str, pa.Column] = {name: _WORDS[name] for name in ("tariff_code", "charge_kind", "charge_name")}


def _columns(names: str) -> dict[str, pa.Column]:
    return columns(names, _WORDS)


def _table(name: str, grain: str, key: str, names: str) -> pa.DataFrameSchema:
    return contract(name, grain, tuple(key.split()), _columns(names))


RATING: tuple[pa.DataFrameSchema, ...] = (
    _table(
        "rating.requests",
        "One row per parcel to be rated: what a carrier could know of it.",
        "request_id",
        "request_id carrier service? zone? shipped_on length_in? width_in? height_in? is_rectangular scale_weight_lb? "
        "is_residential? destination_prefix? declared_value_cents? sides_source",
    ),
    _table(
        "rating.lanes",
        "One row per carrier, service, zone and day of shipping asked for: the rules that hold there.",
        "lane_key",
        "lane_key lane_class_key carrier service? zone? shipped_on tariff_key? service_key? season_key? length_per_in? "
        "weight_per_lb? side_step_milli? side_bias_milli? divisor? divisor_above_milli? non_rectangular_factor? "
        "weight_step_milli? minimum_weight_milli? scale_grain_milli? top_band? declared_grain_cents? "
        "declared_most_steps? has_residential has_area fuel_share_millionths is_fuel_of_base is_fuel_of_surcharge "
        "lacking?",
    ),
    _table(
        "rating.sides",
        "One row per service and sides as given: the same sides rounded by the tariff, longest first.",
        "service_key length_in width_in height_in is_rectangular",
        f"service_key length_in width_in height_in is_rectangular {_MILLI_SIDES} size_key",
    ),
    _table(
        "rating.sizes",
        "One row per service and rounded sides: its measures and the conditions that hold.",
        "size_key",
        f"size_key service_key {_MILLI_SIDES} length_plus_girth_milli is_rectangular volume_milli dim_weight_milli "
        "size_bits",
    ),
    _table(
        "rating.scales",
        "One row per service and band of scale weights: the conditions that hold.",
        "service_key scale_band",
        "service_key scale_band scale_bits",
    ),
    _table(
        "rating.request_keys",
        "One row per request: its lane, its size and the numbers that decide its price.",
        "request_id",
        "request_id lane_key lane_class_key? size_key? scale_band? goods_bits? rated_weight_milli? is_home place_key "
        "declared_steps?",
    ),
    _table(
        "rating.cells",
        "One row per combination that occurs of all that decides the price before fuel.",
        "cell_key",
        "cell_key case_key lane_class_key goods_bits rated_weight_milli is_home place_key declared_steps case_bits",
    ),
    _table(
        "rating.cases",
        "One row per case: what decides which surcharges are charged.",
        "case_key",
        "case_key lane_class_key tariff_key service_key season_key zone case_bits is_home place_key "
        "declared_up_to_cents",
    ),
    _table(
        "rating.case_surcharges",
        "One row per case and surcharge row charged in it.",
        "case_key surcharge_key",
        "case_key surcharge_key alternative minimum_weight_milli fixed_cents?",
    ),
    _table(
        "rating.case_discounts",
        "One row per case and discount on its fixed surcharges.",
        "case_key surcharge",
        "case_key surcharge amount_cents",
    ),
    _table(
        "rating.case_totals",
        "One row per case: its surcharges before shares, the least weight they bill, a limit passed.",
        "case_key",
        "case_key service_key season_key zone fixed_cents minimum_weight_milli beyond?",
    ),
    _table(
        "rating.cell_bases",
        "One row per cell: billed weight, base price and discount.",
        "cell_key",
        "cell_key case_key billed_weight_milli fixed_cents price_cents? discount_cents? lacking?",
    ),
    _table(
        "rating.cell_shares",
        "One row per cell and surcharge row that takes a share.",
        "cell_key surcharge_key",
        "cell_key surcharge_key alternative amount_cents",
    ),
    _table(
        "rating.cell_prices",
        "One row per cell: carriage and surcharges before fuel.",
        "cell_key",
        "cell_key lane_class_key goods_bits rated_weight_milli is_home place_key declared_steps billed_weight_milli "
        "base_cents? surcharge_cents? lacking?",
    ),
    _table(
        "rating.cell_lines",
        "One row per cell and charge line before fuel.",
        "cell_key line_number",
        "cell_key line_number charge_kind charge_name charge_code? surcharge_key? alternative? amount_cents",
    ),
    _table(
        "rating.priced",
        "One row per request: expected cents by kind, or what is lacking.",
        "request_id",
        "request_id lane_key cell_key? scale_band? base_cents? surcharge_cents? fuel_cents? expected_cents? lacking?",
    ),
    _table(
        "rating.rated",
        "One row per request: tariff, measures and weights in the tariff's units, expected cents by kind.",
        "request_id",
        "request_id tariff_code? length_unit? weight_unit? longest_side? second_side? shortest_side? "
        "length_plus_girth? volume? dim_weight? rated_weight? billed_weight? dim_weight_lb? rated_weight_lb? "
        "billed_weight_lb? base_cents? surcharge_cents? fuel_cents? expected_cents? lacking?",
    ),
    _table(
        "core.expected_charges",
        "One row per parcel and expected charge line.",
        "parcel_id line_number",
        "parcel_id line_number charge_kind charge_name charge_code? amount_cents measure? measured? threshold?",
    ),
)
