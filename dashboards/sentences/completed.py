"""The month completed: what it is expected to make with all that is still to come, and how it compares."""

import datetime as dt

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, RowsOf, definition, kept, of_month, of_rows, where
from dashboards.sentences.grounds import COVERAGE, FEWEST_OF_MONTH, GAPS, found_once, is_dated, month_before, only_if
from dashboards.values import months_between

COMPLETED, COMPARED, LAGS = "analysis.completed_months", "analysis.margin_comparisons", "analysis.reporting_lag"


@found_once
def completed(records: Records) -> Rows:
    """The month's row, where its parcels are enough, dated, and named by the bench log or sales where not billed."""
    rows = records.month_rows(COMPLETED)
    is_known = records.month is not None and _are_parcels_known(records, records.month)
    return only_if(is_known, rows[rows["parcel_count"] >= FEWEST_OF_MONTH])


def is_open(records: Records) -> bool:
    """Whether more is expected to come for the month."""
    rows = completed(records)
    return len(rows) == 1 and not rows["is_completed"].iloc[0]


@found_once
def _are_parcels_known(records: Records, month: dt.date) -> bool:
    coverage, gaps = (records.rows_of(name, month) for name in (COVERAGE, GAPS))
    sold = gaps[gaps["gap"] == "sales without a parcel"]
    is_linked = bool((sold["missing_count"] < sold["due_count"]).any())
    return is_dated(records, month) and (is_linked or bool((coverage["benched_parcel_count"] > 0).any()))


def comparable(records: Records) -> Rows:
    """The month's comparisons, completed with completed: only with months whose records name their parcels."""
    if completed(records).empty:
        return records.table(COMPARED).iloc[:0]
    rows = records.month_rows(COMPARED).dropna(subset=["compared_completed_cents"])
    is_fit = [_is_known_and_many(records, *row) for row in rows[_SPAN].itertuples(index=False)]
    return rows.loc[is_fit]


_SPAN = ["first_compared_month", "last_compared_month", "compared_parcel_count"]


def _is_known_and_many(records: Records, first: dt.date, last: dt.date, parcels: int) -> bool:
    """Whether the records name the parcels of every month of the span, and each has enough of them in the mean."""
    months = list(months_between(first, last))
    return parcels >= FEWEST_OF_MONTH * len(months) and all(_are_parcels_known(records, month) for month in months)


@found_once
def _before(records: Records) -> Rows:
    """The row of the month before, where its records say as well which parcels there were."""
    rows = month_before(records, COMPLETED)
    if rows.empty or completed(records).empty:
        return rows.iloc[:0]
    return only_if(
        _are_parcels_known(records, rows["shipped_month"].iloc[0]), rows[rows["parcel_count"] >= FEWEST_OF_MONTH]
    )


def _known_change(records: Records) -> Rows:
    rows = completed(records)
    return only_if(len(_before(records)) == 1, rows.dropna(subset=["completed_change_cents"]))


def expected_month(*, is_lost: bool, has_sales: bool) -> RowsOf:
    """The month, where more is to come. has_sales: whether sales without a parcel are in what is expected."""

    def rows(records: Records) -> Rows:
        found = only_if(is_open(records), completed(records))
        is_asked = (found["completed_margin_cents"] < 0) == is_lost
        return found[is_asked & ((found["sales_to_ship_count"].fillna(0) > 0) == has_sales)]

    return rows


def _to_come(column: str) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = only_if(is_open(records), completed(records)).dropna(subset=[column])
        return found[found[column] != 0]

    return rows


def _verdict(sign: int) -> RowsOf:
    """The month before, where the whole interval of the change lies on one side of nothing, or on both for 0. While
    nobody knows how much damage is still to be reported, no side is proven."""

    def rows(records: Records) -> Rows:
        change = _known_change(records)
        if change.empty:
            return _before(records).iloc[:0]
        if _are_lags_unknown(records):
            return only_if(sign == 0, _before(records))
        low, high = int(change["change_low_cents"].iloc[0]), int(change["change_high_cents"].iloc[0])
        return only_if((low > 0) - (high < 0) == sign and (low, high) != (0, 0), _before(records))

    return rows


def _same(records: Records) -> Rows:
    change = _known_change(records)
    limits = change[["change_low_cents", "change_high_cents"]]
    return only_if(len(change) == 1 and not (limits.any(axis=None) or _are_lags_unknown(records)), _before(records))


def _change(is_sure: bool) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = only_if(not _are_lags_unknown(records), _known_change(records))
        is_one = found["change_low_cents"] == found["change_high_cents"]
        return found[(is_one == is_sure) & (found["completed_change_cents"] != 0)]

    return rows


def _are_lags_unknown(records: Records) -> bool:
    """Whether the open month waits for claims whose delay the record does not tell."""
    lags = records.table(LAGS)
    has_few = bool(lags["is_default"].any() and (lags["claim_count"] > 0).any())
    return is_open(records) and has_few and bool(completed(records)["damage_to_come_cents"].isna().all())


def _not_compared(records: Records) -> Rows:
    rows = records.month_rows(COMPLETED)
    before = month_before(records, COMPLETED)
    has_both = all(bool((each["parcel_count"] >= FEWEST_OF_MONTH).any()) for each in (rows, before))
    return only_if(has_both and _known_change(records).empty, before)


LOSES, MAKES = "lose money", "pay for itself"
PARCELS = "{parcel_count:parcel/parcels}"
WITH_SALES = PARCELS + " and {sales_to_ship_count:sale/sales} without one"

ENTRIES = (
    *(
        of_rows(
            COMPLETED,
            f"completed.{id}",
            f"With what is still to come, shipping in {{shipped_month}} is expected to {makes}: "
            f"{{completed_margin_cents}} on {parcels} (interval {{completed_low_cents}} to {{completed_high_cents}}).",
            expected_month(is_lost=makes == LOSES, has_sales=parcels == WITH_SALES),
        )
        for id, makes, parcels in (
            ("lost", LOSES, PARCELS),
            ("made", MAKES, PARCELS),
            ("lost_with_sales", LOSES, WITH_SALES),
            ("made_with_sales", MAKES, WITH_SALES),
        )
    ),
    of_rows(
        COMPLETED,
        "completed.billed_so_far",
        "Of the carriage, {billed_cents} is billed so far; {carriage_to_come_cents} is still to be billed "
        "(interval {carriage_to_come_low_cents} to {carriage_to_come_high_cents}).",
        _to_come("carriage_to_come_cents"),
    ),
    of_rows(
        COMPLETED,
        "completed.sales_to_ship",
        "In that are {sales_to_ship_count:sale/sales} without a parcel on record, with {income_to_come_cents} of "
        "shipping paid, after refunds and fees.",
        _to_come("sales_to_ship_count"),
    ),
    of_rows(
        COMPLETED,
        "completed.damage_to_come",
        "Damage still to be reported, less what carriers pay for it: {damage_to_come_cents} (interval "
        "{damage_to_come_low_cents} to {damage_to_come_high_cents}).",
        _to_come("damage_to_come_cents"),
    ),
    where(
        "completed.damage_not_known",
        "How much damage is still to be reported is not known: too few claims on record say how late they come.",
        _are_lags_unknown,
    ),
    of_rows(
        COMPLETED,
        "completed.recovery_to_come",
        "Carriers are expected to pay {recovery_to_come_cents} on open claims.",
        _to_come("recovery_to_come_cents"),
    ),
    of_rows(
        COMPLETED,
        "completed.unpriced",
        "What {unpriced_count:parcel/parcels} cost is not included: their carrier has never sent a bill on record, and "
        "no tariff prices them.",
        kept(of_month(COMPLETED), lambda rows: rows["unpriced_count"] > 0),
    ),
    where(
        "completed.no_month_before",
        "There is no month before in the records to compare with.",
        lambda records: (
            bool((records.month_rows(COMPLETED)["parcel_count"] > 0).any()) and month_before(records, COMPLETED).empty
        ),
    ),
    of_rows(
        COMPLETED,
        "completed.rose",
        "That is better than {shipped_month} ({completed_margin_cents} on {parcel_count:parcel/parcels}).",
        _verdict(1),
    ),
    of_rows(
        COMPLETED,
        "completed.fell",
        "That is worse than {shipped_month} ({completed_margin_cents} on {parcel_count:parcel/parcels}).",
        _verdict(-1),
    ),
    of_rows(
        COMPLETED,
        "completed.not_clear",
        "Whether it is better or worse than {shipped_month} ({completed_margin_cents} on "
        "{parcel_count:parcel/parcels}) is not clear yet.",
        _verdict(0),
    ),
    of_rows(
        COMPLETED,
        "completed.same",
        "That is the same as in {shipped_month} ({completed_margin_cents} on {parcel_count:parcel/parcels}).",
        _same,
    ),
    of_rows(COMPLETED, "completed.change", "The change is {completed_change_cents}.", _change(True)),
    of_rows(
        COMPLETED,
        "completed.change_expected",
        "The change is {completed_change_cents} (interval {change_low_cents} to {change_high_cents}).",
        _change(False),
    ),
    of_rows(
        COMPLETED,
        "completed.not_comparable",
        "It is not compared with {shipped_month}: the records do not say which parcels were shipped in each.",
        _not_compared,
    ),
    definition(
        "completed.means",
        "Completed = left over so far, with the bills, claims and payments that are still to come, as the shop's own "
        "past months lead one to expect. Of ten such months, eight end within their interval. Months are compared "
        "completed with completed.",
    ),
)
