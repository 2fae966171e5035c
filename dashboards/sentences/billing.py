"""Billing errors, disputes and their deadlines, and prices learned from bills."""

from collections.abc import Callable

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, kept, of_month, of_records, where
from dashboards.sentences.grounds import (
    CHECKS,
    FEWEST,
    are_there,
    covered,
    flagged,
    greatest,
    is_tariff_known,
    only_if,
    overdue,
    to_come,
    undated,
)

TOTALS, DISPUTES, DIFFERENCES = "marts.billing_totals", "marts.billing_disputes", "marts.billing_differences"
CURVES, OUTSIDE, QUOTED = "analysis.rate_curves", "marts.unchecked_charges", "marts.quoted_against_billed"
NEAR = "marts.near_miss_totals"
SHOWN_OVERDUE = 3
LEFT_OPEN = ("learned price", "learned zone")
LEARNED = "Prices by {tariff_code} are learned from bills, not published"

_checked = kept(of_month(CHECKS), lambda rows: rows["checked_parcel_count"] > 0)


@of_records
def _no_error(records: Records, is_left_open: bool) -> Rows:
    """No charge is an error; is_left_open: some are above what prices or zones learned from bills give."""
    found = records.month_rows(DIFFERENCES)
    above = found.empty or found[found["difference_class"].isin(LEFT_OPEN) & (found["difference_cents"] > 0)].empty
    is_none = records.is_month_empty(TOTALS)
    return only_if(is_none and above != is_left_open, _checked(records))


def _not_checked(records: Records) -> Rows:
    rows = records.month_rows(CHECKS)
    return only_if(is_tariff_known(records), rows[(rows["checked_parcel_count"] == 0) & (rows["charged_count"] > 0)])


Days = Callable[[Rows, str, Records], Rows]


@of_records
def _open(records: Records, days: Days, most: int = 1) -> Rows:
    """Disputes that may be sent by the records, of the days asked for, the nearest deadline first."""
    found = flagged(records.table(DISPUTES), "is_disputable")
    return days(found, "last_dispute_on", records).sort_values(["last_dispute_on", "dispute_id"]).head(most)


def _without_deadline(records: Records) -> Rows:
    rows = flagged(records.table(DISPUTES), "is_disputable")
    return greatest(rows[rows["last_dispute_on"].isna()], "outstanding_cents")


def _count_checked(records: Records) -> int:
    return int(records.table(CHECKS)["checked_parcel_count"].sum())


def _none_open(records: Records) -> bool:
    is_none = records.has(DISPUTES) and flagged(records.table(DISPUTES), "is_disputable").empty
    return is_none and _count_checked(records) > 0


def _worst_lane(records: Records) -> Rows:
    used = flagged(records.table(CURVES), "is_in_use")
    return used.sort_values("left_out_error_share", ascending=False, na_position="last", kind="stable").head(1)


def _near_misses_learned(records: Records) -> Rows:
    """Learned prices in use of a carrier that the month's near misses are of."""
    used = flagged(records.table(CURVES), "is_in_use")
    return used[used["carrier"].isin(records.month_rows(NEAR)["carrier"])].sort_values("tariff_code").head(1)


@of_records
def _lane(records: Records, is_known: bool, is_many: bool) -> Rows:
    found = _worst_lane(records)
    found = found[found["left_out_error_share"].notna() == is_known]
    return found[(found["bill_count"] >= FEWEST) == is_many] if is_known else found


ENTRIES = (
    where(
        "billing.no_error",
        "{checked_parcel_count} of {charged_count:billed parcel/billed parcels} could be checked, and no charge that "
        "was checked is above the tariff.",
        _no_error(False),
    ),
    where(
        "billing.no_error_learned",
        "{checked_parcel_count} of {charged_count:billed parcel/billed parcels} could be checked. Some charges are "
        "above the prices and zones learned from bills, none by more than these are known to miss.",
        _no_error(True),
    ),
    where(
        "billing.none_outside",
        "Of {checked_parcel_count:parcel/parcels} checked, every charge is one that the tariff states.",
        lambda records: only_if(records.is_month_empty(OUTSIDE), _checked(records)),
    ),
    definition(
        "billing.outside",
        "None of these counts as a billing error. State an option or event with its amount in the tariff, and its "
        "amount is checked.",
    ),
    where(
        "quotes.none",
        "No parcel of {:month} has both a label with its quote and a base charge.",
        lambda records: are_there(records, "labels") and records.is_month_empty(QUOTED),
    ),
    where(
        "billing.not_checked",
        "No bill of {shipped_month} could be checked against a tariff ({charged_count:bill/bills}), so billing errors "
        "are not known.",
        _not_checked,
    ),
    where(
        "billing.all_checked",
        "Every billed parcel of {shipped_month} could be checked: {checked_parcel_count} of {charged_count}.",
        kept(_checked, lambda rows: rows["checked_parcel_count"] == rows["charged_count"]),
    ),
    where(
        "billing.no_bill",
        "No bill is on record for {shipped_month}.",
        kept(covered, lambda rows: rows["charged_count"] == 0),
    ),
    where(
        "disputes.next",
        "The next deadline for a dispute is {last_dispute_on}: {carrier}, {difference_class}, {outstanding_cents}.",
        _open(to_come),
    ),
    where(
        "disputes.overdue",
        "Overdue: {carrier}, {difference_class}, {outstanding_cents}; the deadline was {last_dispute_on}.",
        _open(overdue, SHOWN_OVERDUE),
    ),
    where(
        "disputes.next_by_records",
        "The first deadline for a dispute is {last_dispute_on}: {carrier}, {difference_class}, {outstanding_cents}.",
        _open(undated),
    ),
    where(
        "disputes.no_deadline",
        "Without a known deadline: {carrier}, {difference_class}, {outstanding_cents}.",
        _without_deadline,
    ),
    where("disputes.none", "No billing error on record can be disputed now.", _none_open),
    where(
        "disputes.no_bill",
        "No parcel is on record, so there is no bill to check.",
        lambda records: records.is_empty(CHECKS),
    ),
    where(
        "disputes.not_known",
        "No bill on record could be checked against a tariff, so it is not known what can be disputed. `dunnage tariff "
        "import` takes in a carrier's sheet of prices, `dunnage tariff learn` learns them from bills.",
        lambda records: records.table(CHECKS)["charged_count"].sum() > 0 and not _count_checked(records),
    ),
    where("disputes.all_listed", "`dunnage disputes list --all` shows what is past or settled as well.", _none_open),
    where(
        "learned.error",
        f"{LEARNED}: in {{service}}, zone {{zone}}, they are off by {{left_out_error_share}} of a bill on average.",
        _lane(True, True),
    ),
    where(
        "learned.error_of_few",
        f"{LEARNED}: in {{service}}, zone {{zone}}, by {{bill_count:bill/bills}} only, they are off by "
        "{left_out_error_cents} on average.",
        _lane(True, False),
    ),
    where(
        "learned.error_not_known",
        f"{LEARNED}: in {{service}}, zone {{zone}}, the bills are too few to say how far they are off.",
        _lane(False, False),
    ),
    where(
        "near.learned",
        'Amounts of {carrier} are by {tariff_code}, whose prices are learned from bills; "Billing errors" says how far '
        "these are off.",
        _near_misses_learned,
    ),
    definition("disputes.most_shown", "At most 25 are shown; `dunnage disputes` has all of them."),
    definition(
        "learned.means",
        "The error is that of parcels left out in turn; of twenty such bills nineteen lie within the interval of their "
        "price, of which the widest is shown. Outside the weights seen there is no price. Prices not in use are for "
        "days without a price list: `dunnage tariff learn` writes them to a file.",
    ),
)
