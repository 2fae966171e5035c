"""Columns of what bills teach, and of an announced tariff beside the present one."""

from models.columns.billing import CHANGES
from models.fields import (
    Topic,
    cents,
    choice,
    count,
    date,
    flag,
    fraction,
    inches,
    limits,
    pounds,
    signed_cents,
    signed_fraction,
    signed_inches,
    text,
)

ZONE_SOURCES = ("chart", "bills", "bills disagree", "not known")
CROSSINGS = ("newly charged", "no longer charged")

LEARNED: Topic = {
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
    **limits(signed_inches, "bulge_low_in", "the median, 95 percent", 1.0, 1.0, "Over"),
    "usual_in": inches(
        "What it usually measures when closed: nominal and what is billed over it", 49.0, label="Closed"
    ),
    "learned_length_in": inches("Longest side, median of those billed", 49.0),
    "learned_width_in": inches("Second side, median of those billed", 8.9),
    "learned_height_in": inches("Shortest side, median of those billed", 8.9),
    # The comparison of an announced tariff with the past
    "compared_count": count("Parcels that both tariffs price", 5106, label="Priced by both"),
    "before_cents": signed_cents("By the tariff of their own day of shipping", 9_800_000, label="Own tariff"),
    "after_cents": signed_cents("By the announced tariff", 10_400_000, label="Announced"),
    "change_cents": signed_cents("Announced less own tariff", 600_000),
    "change_share": signed_fraction("Change as a share of what it was before", 0.061, label="Change, share"),
    "learned_count": count("Parcels whose price is learned from bills, by either tariff", 812, label="Learned prices"),
    "within_cents": cents(
        "How far the change may be off: every learned price off by its 95 percent interval, all the same way",
        41_000,
        label="Either way",
    ),
    "before_parcel_count": count("Parcels charged it by the tariff of their day", 1210, label="Charged before"),
    "after_parcel_count": count("Parcels charged it by the announced tariff", 1340, label="Charged after"),
    "term_number": count("Place of the term in the offer; all together come last", 1, least=1),
    "term": text("Term of the offer, as it was written", "divisor=166"),
    "alone_cents": signed_cents("Changes of the terms so far, each alone, added up", -60_000, label="Alone, added"),
    "changed_count": count("Parcels that the term makes cheaper or more expensive", 812, label="Parcels changed"),
    "crossing": choice(
        "Whether the parcel is newly charged the surcharge, or no longer",
        "newly charged",
        CROSSINGS,
        label="Threshold crossed",
    ),
}
