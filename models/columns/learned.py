"""Columns of prices and sides learned from bills."""

from __future__ import annotations

from models.columns.near_misses import CHANGES
from models.fields import (
    Definition,
    cents,
    choice,
    count,
    date,
    flag,
    fraction,
    inches,
    pounds,
    signed_fraction,
    signed_inches,
    text,
)

ZONE_SOURCES = ("chart", "bills", "bills disagree", "not known")

LEARNED: dict[str, Definition] = {
    "learned_first_on": date(
        "First day of shipping whose bills the prices were learned from", "2025-01-01", label="Bills from"
    ),
    "learned_last_on": date("Last day of shipping whose bills they were learned from", "2025-12-31", label="Bills to"),
    "is_in_use": flag(
        "Whether a tariff of the shop takes its prices from them; else the days have no price list", True
    ),
    "bill_count": count("Bills they were learned from", 812, label="Bills"),
    "seen_from_lb": pounds("Lightest weight billed; below it there is no price", 1.0, label="Lightest"),
    "seen_to_lb": pounds("Heaviest weight billed; above it there is no price", 62.0, label="Heaviest"),
    "left_out_error_cents": cents("Mean error, either way, on parcels left out in turn", 38, label="Mean error"),
    "left_out_error_share": signed_fraction(
        "Mean error as a share of the bill, on parcels left out in turn", 0.021, label="Mean error, share"
    ),
    "widest_interval_share": signed_fraction(
        "Half the widest 95 percent interval of its prices, as a share of the price",
        0.058,
        label="Interval, either way",
    ),
    "left_out_unpriced_count": count("Parcels left out in turn that lay outside the weights of the rest", 2),
    "destination_code": text("Postal code as it is compared with others", "20137"),
    "learned_prefix": text("Longest beginning of the postal code that enough bills state a zone for", "201"),
    "zone_bill_count": count("Bills to that beginning", 36, label="Bills"),
    "agreeing_count": count("Bills that state the zone", 34, label="Agree"),
    "agreeing_share": fraction("Bills that state the zone, of all to the beginning of the code", 0.94, label="Share"),
    "other_share": fraction("Bills that state the other zone, of all to the entry", 0.06, label="Share"),
    "is_decided": flag("At least four bills in five agree", True),
    "is_certain": flag("A bill may be disputed on it: a chart's, or all of at least 48 bills agree", False),
    "zone_source": choice("What gave the zone, where no record does", "bills", ZONE_SOURCES, label="Zone from"),
    "side": choice("Which outside side", "longest side", CHANGES[:3]),
    "named_in": inches("Nominal side of the carton, as the carrier rounds it", 48.0, label="Nominal"),
    "billed_in": inches("The side as billed", 49.0),
    "is_fixed_fee": flag("The code mostly comes to this one amount: a fee, not a correction", False),
    "bulge_in": signed_inches("Billed over nominal; median where several parcels are meant", 1.0, label="Over nominal"),
    "bulge_low_in": signed_inches("Lower limit of the median, 95 percent", 1.0, label="Over, lower limit"),
    "bulge_high_in": signed_inches("Upper limit of the median, 95 percent", 1.0, label="Over, upper limit"),
    "usual_in": inches(
        "What it usually measures when closed: nominal and what is billed over it", 49.0, label="Closed"
    ),
    "learned_length_in": inches("Longest side, median of those billed", 49.0),
    "learned_width_in": inches("Second side, median of those billed", 8.9),
    "learned_height_in": inches("Shortest side, median of those billed", 8.9),
}
