"""What several sentences ask of the records before they may be shown."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Any, Concatenate, ParamSpec, TypeVar, cast

from dashboards.formats import UNNAMED
from dashboards.review_tables import Records
from dashboards.sentences.entry import RowsOf, kept
from dashboards.small_shares import FEWEST as FEWEST
from dashboards.values import month_after
from models.plain_rows import are_rows, midnight

if TYPE_CHECKING:
    import pandas as pd

MARGIN, COVERAGE, STATES = "marts.shipping_margin", "marts.coverage", "marts.record_states"
CHECKS, GAPS, COMPARISONS = "marts.billing_checks", "marts.record_gaps", "analysis.margin_comparisons"
WARNINGS = "analysis.warnings"
# Fewer parcels say nothing of a month: a single claim decides its sign (common practice, no source).
FEWEST_OF_MONTH = 30
# A month of which more parcels than this share are dated by their invoice is left out (common practice, no source).
CLOSE = 0.05
WEEK_DAYS = 7
# What marts call rows that belong to no known group.
NAMELESS = (UNNAMED, "account fees")
About = ParamSpec("About")
Found = TypeVar("Found")


def found_once(find: Callable[Concatenate[Records, About], Found]) -> Callable[Concatenate[Records, About], Found]:
    """What many sentences ask of the same records is worked out for the first of them; each has rows of its own."""

    @wraps(find)
    def found(records: Records, /, *about: About.args, **named: About.kwargs) -> Found:
        asked = (find, *about, *named.items())
        if asked not in records.grounds_found:
            records.grounds_found[asked] = find(records, *about, **named)
        known: Any = records.grounds_found[asked]
        return cast("Found", known.copy(deep=False) if are_rows(known) else known)

    return found


def only_if(condition: bool, rows: pd.DataFrame) -> pd.DataFrame:
    """The rows where the condition holds, else none of them."""
    return rows if condition else rows.iloc[:0]


def having(table: str, column: str, value: str, most: int | None = None) -> RowsOf:
    """The rows of a table whose cell is the value; the first `most` of them where stated."""
    return kept(table, lambda rows: rows[column] == value, most)


def greatest(rows: pd.DataFrame, column: str) -> pd.DataFrame:
    """The row with the greatest cell; of several the first."""
    return rows.sort_values(column, ascending=False, kind="stable").head(1)


def least(rows: pd.DataFrame, column: str) -> pd.DataFrame:
    """The row with the least cell; of several the first."""
    return rows.sort_values(column, kind="stable").head(1)


def flagged(rows: pd.DataFrame, *flags: str) -> pd.DataFrame:
    """The rows whose flags are known and set, those written `-name` known and not set."""
    for flag in flags:
        rows = rows[rows[flag.removeprefix("-")].eq(not flag.startswith("-"))]
    return rows


def named(rows: pd.DataFrame, *columns: str) -> pd.DataFrame:
    """The rows that belong to a known group."""
    return rows[~rows[list(columns)].isin(NAMELESS).any(axis=1)]


@found_once
def month_before(records: Records, table: str) -> pd.DataFrame:
    """The table's latest row of a month before the one looked at."""
    rows = records.table(table)
    if records.month is None or rows.empty:
        return rows.iloc[:0]
    return rows[rows["shipped_month"] < midnight(records.month)].sort_values("shipped_month").tail(1)


@found_once
def parcels_of_month(records: Records) -> pd.DataFrame:
    """The month's row of the margin, where parcels are on record."""
    rows = records.month_rows(MARGIN)
    return rows[rows["parcel_count"] > 0]


def is_judged(records: Records) -> bool:
    """Whether the month has parcels enough for a verdict."""
    return bool((parcels_of_month(records)["parcel_count"] >= FEWEST_OF_MONTH).any())


def covered(records: Records) -> pd.DataFrame:
    """The month's row of the coverage, where parcels are on record."""
    rows = records.month_rows(COVERAGE)
    return rows[rows["parcel_count"] > 0]


def covered_after(records: Records) -> pd.DataFrame:
    """The coverage of the month after the one looked at."""
    return records.rows_of(COVERAGE, month_after(records.month)) if records.month else records.table(COVERAGE).iloc[:0]


@found_once
def share_dated_by_invoice(records: Records, month: dt.date) -> float:
    """Parcels of the month and the one after that count in the month of their invoice, over the month's parcels.

    So many may have been shipped in another month than they count in.
    """
    now, after = (records.rows_of(COVERAGE, each) for each in (month, month_after(month)))
    moved = sum(float(rows["dated_by_invoice_count"].sum()) for rows in (now, after))
    return moved / max(float(now["parcel_count"].sum()), 1.0)


def is_dated(records: Records, month: dt.date) -> bool:
    """Whether the records say of nearly every parcel that it was shipped in the month."""
    return share_dated_by_invoice(records, month) <= CLOSE


def gap(records: Records, name: str) -> pd.DataFrame:
    """The month's row of what may be missing; none where the month has no record that should have a counterpart."""
    rows = records.month_rows(GAPS)
    return rows[rows["gap"] == name]


def is_each_sale_sent(records: Records) -> bool:
    """Whether sales prove that every parcel is on record: each that is due a parcel has one."""
    rows = gap(records, "sales without a parcel")
    return len(rows) == 1 and not rows["missing_count"].iloc[0]


def is_whole(records: Records) -> bool:
    """Whether each parcel of the month has its base charge and its sale, and the bench log or the sales name each, and
    none was perhaps shipped in another month than it counts in."""
    rows = covered(records)
    if records.month is None or share_dated_by_invoice(records, records.month):
        return False
    named_by = [] if is_each_sale_sent(records) else ["benched_parcel_count"]
    parts = rows[["charged_count", "sold_parcel_count", *named_by]]
    return len(rows) == 1 and bool(parts.eq(rows["parcel_count"], axis=0).all(axis=None))


@found_once
def are_comparable(records: Records) -> bool:
    """Whether the month and the one before are about equally complete, with parcels enough to bear a claim more."""
    rows = records.month_rows(COMPARISONS)
    rows = only_if(is_judged(records), rows[rows["compared_with"] == "the month before"])
    return bool((flagged(rows, "is_like_with_like")["compared_parcel_count"] >= FEWEST_OF_MONTH).any())


def state(records: Records, kind: str) -> pd.DataFrame:
    """The row that says what is imported of a kind of record; none where nothing says it."""
    rows = records.table(STATES)
    return rows[rows["kind"] == kind]


def are_absent(records: Records, kind: str) -> bool:
    """Whether it is known that no record of the kind was ever imported: absent, not zero."""
    rows = state(records, kind)
    return len(rows) == 1 and not rows["row_count"].iloc[0]


def is_tariff_known(records: Records) -> bool:
    """Whether any bill on record could be checked against a tariff."""
    return bool(records.table(CHECKS)["checked_parcel_count"].sum())


def are_there(records: Records, kind: str) -> bool:
    """Whether it is known that records of the kind were imported."""
    rows = state(records, kind)
    return len(rows) == 1 and bool(rows["row_count"].iloc[0])


def made_on(records: Records) -> dt.datetime | None:
    """The day of making, where it is known."""
    return None if records.made_at is None else midnight(records.made_at)


def to_come(rows: pd.DataFrame, column: str, records: Records) -> pd.DataFrame:
    """The rows whose deadline is the day of making or later."""
    today = made_on(records)
    return rows.iloc[:0] if today is None else rows[rows[column] >= today]


def _week_ends(records: Records) -> dt.datetime | None:
    today = made_on(records)
    return None if today is None else today + dt.timedelta(days=WEEK_DAYS)


def this_week(rows: pd.DataFrame, column: str, records: Records) -> pd.DataFrame:
    """The rows whose deadline is the day of making or one of the seven after it."""
    last, coming = _week_ends(records), to_come(rows, column, records)
    return coming if last is None else coming[coming[column] <= last]


def after_this_week(rows: pd.DataFrame, column: str, records: Records) -> pd.DataFrame:
    """The rows whose deadline is later than seven days after the day of making."""
    last = _week_ends(records)
    return rows.iloc[:0] if last is None else rows[rows[column] > last]


def overdue(rows: pd.DataFrame, column: str, records: Records) -> pd.DataFrame:
    """The rows whose deadline was before the day of making."""
    today = made_on(records)
    return rows.iloc[:0] if today is None else rows[rows[column] < today]


def undated(rows: pd.DataFrame, column: str, records: Records) -> pd.DataFrame:
    """The rows with a deadline where nobody says what day it is."""
    return rows[rows[column].notna()] if made_on(records) is None else rows.iloc[:0]
