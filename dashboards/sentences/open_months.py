"""What is known of a month that more may come for: whether it is open, and its margin with all that is to come."""

import datetime as dt

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, of_records
from dashboards.sentences.grounds import (
    COVERAGE,
    FEWEST_OF_MONTH,
    GAPS,
    found_once,
    is_dated,
    is_judged,
    is_whole,
    only_if,
    parcels_of_month,
)
from dashboards.values import months_between

COMPLETED, COMPARED = "analysis.completed_months", "analysis.margin_comparisons"


@found_once
def completed(records: Records) -> Rows:
    """The month's row, where its parcels are enough, dated, and named by the bench log or sales where not billed, and
    what they cost is known or may be expected."""
    rows = records.month_rows(COMPLETED).dropna(subset=["completed_margin_cents"])
    is_known = records.month is not None and are_parcels_known(records, records.month)
    return only_if(is_known, rows[rows["parcel_count"] >= FEWEST_OF_MONTH])


def is_open(records: Records) -> bool:
    """Whether more is expected to come for the month; of damage alone that nothing foretells it is not."""
    rows = completed(records)
    return len(rows) == 1 and not rows["is_completed"].fillna(True).iloc[0]


@found_once
def are_parcels_known(records: Records, month: dt.date) -> bool:
    """Whether the bench log or the sales name the month's parcels, and their days of shipping are known."""
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
    return parcels >= FEWEST_OF_MONTH * len(months) and all(are_parcels_known(records, month) for month in months)


@of_records
def expected_month(records: Records, *, is_lost: bool, has_sales: bool) -> Rows:
    """The month, where more is to come. has_sales: whether sales without a parcel are in what is expected."""
    found = only_if(is_open(records), completed(records))
    is_asked = (found["completed_margin_cents"] < 0) == is_lost
    return found[is_asked & ((found["sales_to_ship_count"].fillna(0) > 0) == has_sales)]


def with_limits(records: Records) -> Rows:
    """The month, where more is to come and nothing of it is unknown."""
    return only_if(is_open(records), completed(records)).dropna(subset=["completed_low_cents"])


def has_nothing_open(records: Records) -> bool:
    """Whether no more is expected to come, nor said to be unknown."""
    return not (is_open(records) or are_limits_unknown(records))


@of_records
def result(records: Records, is_lost: bool, is_known_whole: bool) -> Rows:
    """The month's margin, where no more is expected to come. is_known_whole: nothing unknown can come either."""
    month = only_if(is_judged(records) and not is_open(records), parcels_of_month(records))
    is_closed = is_whole(records) and not are_limits_unknown(records)
    return only_if(is_closed == is_known_whole, month[(month["margin_cents"] < 0) == is_lost])


def unpriced(records: Records) -> Rows:
    """The month's row, where parcels enough are on record, and of too many nothing tells what they cost."""
    rows = records.month_rows(COMPLETED)
    return only_if(is_judged(records), rows[rows["completed_margin_cents"].isna() & (rows["unpriced_count"] > 0)])


def are_limits_unknown(records: Records) -> bool:
    """Whether the completed margin has no limits: of claims to come, or of what some parcels cost, nothing tells."""
    return bool(completed(records)["completed_low_cents"].isna().any())


def are_lags_unknown(records: Records) -> bool:
    """Whether the month may still wait for claims, and nothing on record tells for how many."""
    rows = completed(records)
    return are_limits_unknown(records) and not (rows["unpriced_count"] > 0).any()
