"""Surcharges billed, and what an inch or a pound less would have avoided."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, of_records, where
from dashboards.sentences.grounds import CHECKS, COVERAGE, FEWEST, covered, greatest, is_tariff_known, only_if

TABLE, TOTALS, RATES = "marts.surcharge_frequency", "marts.near_miss_totals", "analysis.surcharge_rates"
SIDES, WORDS = "analysis.learned_sides", "marts.charge_word_costs"
# Half an inch over nominal: a carrier that rounds to whole inches may bill one more.
LEAST_BULGE_IN = 0.5


def bulging(rows: Rows) -> Rows:
    """Sides of cartons that measure more than nominal, the greatest difference first."""
    return rows[rows["bulge_in"] >= LEAST_BULGE_IN].sort_values("bulge_in", ascending=False, kind="stable")


@of_records
def _costliest(records: Records, is_many: bool) -> Rows:
    found = greatest(records.month_rows(TABLE), "amount_cents")
    return found[(found["amount_cents"] > 0) & ((found["parcel_count"] >= FEWEST) == is_many)]


@of_records
def _none(records: Records, least: int, is_whole: bool) -> Rows:
    """The month's coverage, where no surcharge is on the bills that are there."""
    known = covered(records)
    is_none = records.is_month_empty(TABLE)
    is_all = known["charged_count"] == known["parcel_count"]
    return only_if(is_none, known[(known["charged_count"] >= least) & (is_all == is_whole)])


def _no_bills(records: Records) -> Rows:
    rows = covered(records)
    return only_if(records.month_rows(TABLE).empty, rows[rows["charged_count"] == 0])


def _no_rates(records: Records) -> bool:
    known = records.table(COVERAGE)
    return records.is_month_empty(RATES) and known["charged_count"].sum() > 0


@of_records
def _near(records: Records, is_weight: bool) -> Rows:
    found = greatest(records.month_rows(TOTALS), "spared_cents")
    return found[(found["spared_cents"] > 0) & ((found["change"] == "weight") == is_weight)]


def _none_near(records: Records) -> Rows:
    rows = records.month_rows(CHECKS)
    is_none = records.is_month_empty(TOTALS)
    return only_if(is_none, rows[rows["checked_parcel_count"] > 0])


def _near_unknown(records: Records) -> bool:
    rows = records.month_rows(CHECKS)
    return is_tariff_known(records) and records.month_rows(TOTALS).empty and not rows["checked_parcel_count"].sum()


def _no_bulge(records: Records) -> bool:
    rows = records.table(SIDES)
    return len(rows) > 0 and bulging(rows).empty


ENTRIES = (
    where(
        "surcharges.cost_most",
        "Cost most: {surcharge} by {carrier}, {amount_cents} on {charged_parcel_count} of {parcel_count} parcels "
        "({surcharge_rate}).",
        _costliest(True),
    ),
    where(
        "surcharges.cost_most_of_few",
        "Cost most: {surcharge} by {carrier}, {amount_cents} on {charged_parcel_count} of "
        "{parcel_count:parcel/parcels}.",
        _costliest(False),
    ),
    where(
        "surcharges.none",
        "No surcharge is on the bills of {shipped_month}, which name {charged_count:parcel/parcels}.",
        _none(1, True),
    ),
    where(
        "surcharges.none_so_far",
        "No surcharge is on the bills of {shipped_month} so far; {charged_count} of {parcel_count} parcels have one.",
        _none(1, False),
    ),
    where("surcharges.not_known", "No bill is on record for {shipped_month}, so surcharges are not known.", _no_bills),
    where(
        "surcharges.no_line",
        "No line of an invoice is on record for {:month}.",
        lambda records: records.is_month_empty(WORDS),
    ),
    where(
        "surcharges.none_in_year",
        "No surcharge is on the bills of {:month} and up to eleven months before it.",
        _no_rates,
    ),
    where(
        "near.side",
        "{item_type} in carton {carton_code}: {change_in} less on the {change} would have avoided {charge_name} on "
        "{parcel_count:parcel/parcels}, {spared_cents} in all.",
        _near(False),
    ),
    where(
        "near.weight",
        "{item_type} in carton {carton_code}: {change_lb} less weight would have avoided {charge_name} on "
        "{parcel_count:parcel/parcels}, {spared_cents} in all.",
        _near(True),
    ),
    where("near.none", "No charge of the {checked_parcel_count:parcel/parcels} checked was within reach.", _none_near),
    where(
        "near.not_known",
        "No bill of {:month} could be checked against a tariff, so near misses are not known.",
        _near_unknown,
    ),
    where(
        "near.bulge",
        "By the bills of {parcel_count:parcel/parcels}, carton {carton_code} measures {usual_in} on its {side} when "
        "closed, {bulge_in} more than nominal.",
        lambda records: bulging(records.table(SIDES)).head(1),
    ),
    where("near.no_bulge", "No carton is billed larger than nominal by more than rounding explains.", _no_bulge),
    definition("surcharges.several", "One parcel may be charged several surcharges."),
    definition(
        "near.means", "By rating each parcel again with the change. A parcel counts once, with its best saving."
    ),
    definition(
        "surcharges.limits",
        "The lines are the limits of a 95% interval for the share: wide where few parcels were shipped.",
    ),
)
