"""Columns of rating.*: what each parcel should cost by its tariff.

Weights, lengths and volumes are in the tariff's own unit, or thousandths of it (`_milli`), unless named `_in` or `_lb`.
"""

from __future__ import annotations

from models.columns.tariffs import MOST, MOST_SUM
from models.fields import Definition, cents, choice, count, fact_key, flag, number, pounds, signed_cents, text
from models.tariffs.rules import MEASURES

LACKING = (
    "no tariff on that day",
    "service unknown",
    "service not in the tariff",
    "zone unknown",
    "zone not in the tariff",
    "sides unknown",
    "weight unknown",
    "weight beyond the prices",
    "no size fits",
    *(f"{words}: {measure}" for words in ("beyond limit", "below minimum") for measure in MEASURES),
)
SIDES_SOURCES = ("measured", "learned", "carton", "unknown", "asked")
_MILLI = "In thousandths of the tariff's unit"

RATING: dict[str, Definition] = {
    "request_id": text("Parcel, or what stands for it in a what-if", "NL40017733"),
    "sides_source": choice("Where the sides come from", "measured", SIDES_SOURCES),
    "lane_key": fact_key("Carrier, service, zone and day"),
    "lane_class_key": fact_key(
        "Service, season, zone and fuel basis: such lanes differ in shares of fuel and tax only"
    ),
    "priced_zone": text("Zone whose prices hold: its own, or * for a price of every zone", "5"),
    "size_key": count("Service and rounded sides", 1, least=1),
    "price_class_key": fact_key("Combination of all that decides the price before fuel"),
    "surcharge_class_key": fact_key("A cell without its weight: all that decides surcharges"),
    "fuel_share_millionths": count("Fuel's share on that day", 142_500, most=MOST),
    "fuelled_cents": signed_cents("Carriage and surcharges that fuel is taken on", 3330),
    "tax_share_millionths": count("Tax on that day; empty where the tariff states none", 190_000, most=MOST),
    "is_fuel_of_base": flag("Fuel is taken on carriage", True),
    "is_fuel_of_surcharge": flag("Fuel is taken on surcharges", True),
    "lacking": choice("What the tariff or the record lacks; empty where the parcel is priced", LACKING[0], LACKING),
    "longest_milli": count(f"Longest side. {_MILLI}", 49000, least=0, most=MOST),
    "second_milli": count(f"Second side. {_MILLI}", 8000, least=0, most=MOST),
    "shortest_milli": count(f"Shortest side. {_MILLI}", 8000, least=0, most=MOST),
    "length_plus_girth_milli": count(f"Longest side and twice each other. {_MILLI}", 81000, most=MOST),
    "volume_milli": count(f"Volume, by the factor where not rectangular. {_MILLI}", 3_136_000, most=10**18),
    "dim_weight_milli": count(f"Dimensional weight; 0 where it does not count. {_MILLI}", 22561, most=10**18),
    "scale_rated_milli": count(f"Rated weight where volume does not weigh more. {_MILLI}", 23000, most=10**18),
    "size_rated_milli": count(f"Rated weight where volume weighs more. {_MILLI}", 23000, most=10**18),
    "size_density_milli": count(f"Volume at the density that surcharges look for. {_MILLI}", 30000, most=10**18),
    "missing_weight_milli": count(f"What the weight rated by scale lacks to that. {_MILLI}", 7000, most=10**18),
    "rated_weight_milli": count(f"Rated weight. {_MILLI}", 23000, most=10**18),
    "billed_weight_milli": count(f"Rated weight, or the least that a surcharge bills. {_MILLI}", 40000, most=10**18),
    "size_bits": count("Sum of the bits of conditions on sides that hold", 1, most=MOST_SUM),
    "scale_bits": count("Sum of the bits of conditions on the scale weight that hold", 0, most=MOST_SUM),
    "goods_bits": count("Sum of the bits of conditions on sides and scale weight that hold", 1, most=MOST_SUM),
    "case_bits": count(
        "Sum of the bits of conditions on sides, scale weight and rated weight that hold", 1, most=MOST_SUM
    ),
    "is_home": flag("Home delivery, where the service cares", True),
    "declared_steps": count("Multiples of the declared grain begun", 2),
    "declared_up_to_cents": cents("Declared value, up to the end of its step", 20000, most=10**15),
    "discount_cents": signed_cents("Discount on the base price; not positive", -178),
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
    "billable_weight_lb": pounds("Weight that we expect to be billed", 40.0, zero=True, most=1e12),
    "measured": number("What was measured, in the tariff's unit or cents", 49.0, least=0),
    "threshold": number("What it had to pass", 48.0, least=0),
}
