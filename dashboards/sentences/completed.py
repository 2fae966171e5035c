"""The month completed: what it is expected to make with all that is still to come, and how it compares."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, kept, of_month, of_records, where
from dashboards.sentences.grounds import FEWEST_OF_MONTH, found_once, month_before, only_if
from dashboards.sentences.open_months import (
    COMPLETED,
    are_lags_unknown,
    are_limits_unknown,
    are_parcels_known,
    completed,
    expected_month,
    is_open,
    with_limits,
)


@found_once
def _before(records: Records) -> Rows:
    """The row of the month before, where its records say as well which parcels there were, and it can be completed."""
    rows = month_before(records, COMPLETED).dropna(subset=["completed_margin_cents"])
    if rows.empty or completed(records).empty:
        return rows.iloc[:0]
    return only_if(
        are_parcels_known(records, rows["shipped_month"].iloc[0]), rows[rows["parcel_count"] >= FEWEST_OF_MONTH]
    )


def _known_change(records: Records) -> Rows:
    rows = completed(records)
    return only_if(len(_before(records)) == 1, rows.dropna(subset=["completed_change_cents"]))


def _has_no_limits(records: Records) -> bool:
    """Whether the change has none: the month has none, or the one before."""
    return are_limits_unknown(records) or bool(_known_change(records)["change_low_cents"].isna().any())


@of_records
def _to_come(records: Records, column: str) -> Rows:
    found = only_if(is_open(records), completed(records)).dropna(subset=[column])
    return found[found[column] != 0]


@of_records
def _damage_to_come(records: Records, is_likely: bool) -> Rows:
    """Damage to come. is_likely: whether the interval reaches beyond what is expected; else one month in ten or fewer
    has more than that."""
    found = _to_come("damage_to_come_cents")(records)
    return found[(found["damage_to_come_high_cents"] > found["damage_to_come_cents"]) == is_likely]


@of_records
def _verdict(records: Records, sign: int) -> Rows:
    """The month before, where the whole interval of the change lies on one side of nothing, or on both for 0. A change
    without limits proves no side."""
    change = _known_change(records)
    if change.empty:
        return _before(records).iloc[:0]
    if _has_no_limits(records):
        return only_if(sign == 0, _before(records))
    low, high = int(change["change_low_cents"].iloc[0]), int(change["change_high_cents"].iloc[0])
    return only_if((low > 0) - (high < 0) == sign and (low, high) != (0, 0), _before(records))


def _same(records: Records) -> Rows:
    change = _known_change(records)
    limits = change[["change_low_cents", "change_high_cents"]]
    return only_if(len(change) == 1 and not (_has_no_limits(records) or limits.any(axis=None)), _before(records))


@of_records
def _change(records: Records, is_sure: bool) -> Rows:
    found = only_if(not _has_no_limits(records), _known_change(records))
    is_one = found["change_low_cents"] == found["change_high_cents"]
    return found[(is_one == is_sure) & (found["completed_change_cents"] != 0)]


@of_records
def _not_compared(records: Records, *, is_cost_known: bool) -> Rows:
    """The month before, where both have parcels enough and are not compared. is_cost_known: whether both can be
    completed, so that it is the parcels which nobody knows."""
    both = records.month_rows(COMPLETED), month_before(records, COMPLETED)
    has_both = all(bool((each["parcel_count"] >= FEWEST_OF_MONTH).any()) for each in both)
    are_completed = all(bool(each["completed_margin_cents"].notna().all()) for each in both)
    return only_if(has_both and _known_change(records).empty and are_completed == is_cost_known, both[1])


LOSES, MAKES = "lose money", "pay for itself"
PARCELS = "{parcel_count:parcel/parcels}"
WITH_SALES = PARCELS + " and {sales_to_ship_count:sale/sales} without one"

ENTRIES = (
    *(
        where(
            f"completed.{id}",
            f"With what is still to come, shipping in {{shipped_month}} is expected to {makes}: "
            f"{{completed_margin_cents}} on {parcels}.",
            expected_month(is_lost=makes == LOSES, has_sales=parcels == WITH_SALES),
        )
        for id, makes, parcels in (
            ("lost", LOSES, PARCELS),
            ("made", MAKES, PARCELS),
            ("lost_with_sales", LOSES, WITH_SALES),
            ("made_with_sales", MAKES, WITH_SALES),
        )
    ),
    where(
        "completed.interval",
        "Eight of ten such months end between {completed_low_cents} and {completed_high_cents}.",
        with_limits,
    ),
    where(
        "completed.billed_so_far",
        "Of the carriage, {billed_cents} is billed so far; {carriage_to_come_cents} is still to be billed "
        "(interval {carriage_to_come_low_cents} to {carriage_to_come_high_cents}).",
        _to_come("carriage_to_come_cents"),
    ),
    where(
        "completed.sales_to_ship",
        "In that are {sales_to_ship_count:sale/sales} without a parcel on record, with {income_to_come_cents} of "
        "shipping paid, after refunds and fees.",
        _to_come("sales_to_ship_count"),
    ),
    where(
        "completed.damage_to_come",
        "Damage still to be reported, less what carriers pay for it: {damage_to_come_cents} (interval "
        "{damage_to_come_low_cents} to {damage_to_come_high_cents}).",
        _damage_to_come(True),
    ),
    where(
        "completed.damage_seldom_to_come",
        "Damage still to be reported, less what carriers pay for it, is counted with {damage_to_come_cents}: in nine "
        "of ten such months it comes to no more, in the tenth a late claim costs more.",
        _damage_to_come(False),
    ),
    where(
        "completed.damage_not_known",
        "How much damage is still to be reported is not known: too few claims on record say how late they come.",
        are_lags_unknown,
    ),
    where(
        "completed.recovery_to_come",
        "Carriers are expected to pay {recovery_to_come_cents} on open claims.",
        _to_come("recovery_to_come_cents"),
    ),
    where(
        "completed.unpriced",
        "What {unpriced_count:parcel/parcels} cost is not included: no bill on record tells what their carrier "
        "charges, and no tariff prices them.",
        kept(of_month(COMPLETED), lambda rows: rows["unpriced_count"] > 0),
    ),
    where(
        "completed.no_month_before",
        "There is no month before in the records to compare with.",
        lambda records: (
            bool((records.month_rows(COMPLETED)["parcel_count"] > 0).any()) and month_before(records, COMPLETED).empty
        ),
    ),
    where(
        "completed.rose",
        "That is better than {shipped_month} ({completed_margin_cents} on {parcel_count:parcel/parcels}).",
        _verdict(1),
    ),
    where(
        "completed.fell",
        "That is worse than {shipped_month} ({completed_margin_cents} on {parcel_count:parcel/parcels}).",
        _verdict(-1),
    ),
    where(
        "completed.not_clear",
        "Whether it is better or worse than {shipped_month} ({completed_margin_cents} on "
        "{parcel_count:parcel/parcels}) is not clear yet.",
        _verdict(0),
    ),
    where(
        "completed.same",
        "That is the same as in {shipped_month} ({completed_margin_cents} on {parcel_count:parcel/parcels}).",
        _same,
    ),
    where("completed.change", "The change is {completed_change_cents}.", _change(True)),
    where(
        "completed.change_expected",
        "The change is {completed_change_cents} (interval {change_low_cents} to {change_high_cents}).",
        _change(False),
    ),
    where(
        "completed.not_comparable",
        "It is not compared with {shipped_month}: the records do not say which parcels were shipped in each.",
        _not_compared(is_cost_known=True),
    ),
    where(
        "completed.unpriced_not_compared",
        "It is not compared with {shipped_month}: what parcels of one or both months cost is not known.",
        _not_compared(is_cost_known=False),
    ),
    definition(
        "completed.means",
        "Completed = left over so far, with the bills, claims and payments that are still to come, as the shop's own "
        "past months lead one to expect. Of ten such months, eight end within their interval. Months are compared "
        "completed with completed.",
    ),
)
