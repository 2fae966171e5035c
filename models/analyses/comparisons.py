"""Each month beside others, per parcel: the month before, the same month last year and the mean of twelve before it.

A comparison stands only where the records reach every month of it. Like is compared with like: all months must be known
to about the same shares by bench log, invoices and sales, and the change must keep its sign, for each parcel and in
all, if parcels without a bill were billed the mean of those with one. Nor may more than a few parcels count in the
month of their invoice for want of a day of shipping. Without a bench log, and without sales each of which has its
parcel, nobody knows which parcels were never billed, so nothing is comparable.
"""

from typing import Any

import pandas as pd

from models.analyses.question import Question, answer

READS = ("marts.shipping_margin", "marts.coverage", "analysis.completed_months", "marts.record_gaps")
WRITES = ("analysis.margin_comparisons",)
# Name, and how many months before the month the first and the last compared are.
COMPARED = (
    ("the month before", 1, 1),
    ("the same month last year", 12, 12),
    ("the mean of the twelve months before", 12, 1),
)
# Months whose records are known to shares this close count as equally complete (common practice, no source).
CLOSE = 0.05
SHARES = ["benched_parcel_count", "charged_count", "sold_parcel_count", "dated_by_invoice_count"]
# The gap of sales, and whether a month has none: each sale that is due a parcel has one.
UNSENT, SENT = "sales without a parcel", "is_each_sale_sent"
COMPLETED = ["completed_margin_cents", "sales_to_ship_count"]
COUNTED = ["parcel_count", "margin_cents", "billed_cents", "charged_count"]


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.margin_comparisons: for each month those comparisons that the records reach."""
    margins, known, completed, gaps = (question.table(name).set_index("shipped_month") for name in READS)
    months = margins.join(known[SHARES]).join(completed[COMPLETED]).sort_index()
    unsent = gaps.loc[gaps["gap"] == UNSENT, "missing_count"]
    months[SENT] = (unsent.reindex(months.index) == 0).fillna(False).astype(bool)
    months = months[months["parcel_count"] > 0]
    found = [
        _compared(name, months.loc[[month]], months[months.index.isin(_months(month, first, last))])
        for month in months.index
        for name, first, last in COMPARED
        if set(_months(month, first, last)) <= set(months.index)
    ]
    return {WRITES[0]: answer(WRITES[0], found)}


def _months(month: pd.Timestamp, first: int, last: int) -> list[pd.Timestamp]:
    return [month - pd.DateOffset(months=back) for back in range(last, first + 1)]


def _compared(name: str, now: pd.DataFrame, others: pd.DataFrame) -> dict[str, Any]:
    later, earlier = now[COUNTED].sum(), others[COUNTED].sum()
    own, usual = (sums["margin_cents"] / sums["parcel_count"] for sums in (later, earlier))
    change = round(own) - round(usual)
    return {
        "shipped_month": now.index[0],
        "compared_with": name,
        "first_compared_month": others.index[0],
        "last_compared_month": others.index[-1],
        "compared_parcel_count": int(earlier["parcel_count"]),
        "compared_per_parcel_cents": round(usual),
        "margin_per_parcel_cents": round(own),
        "per_parcel_change_cents": change,
        "is_like_with_like": _are_alike(now, others) and _survives(later, earlier / len(others)),
        **_completed(others),
    }


def _completed(others: pd.DataFrame) -> dict[str, int | None]:
    """The mean of the months completed, in all and for each parcel; none where one of them cannot be completed."""
    sums = others[["parcel_count", *COMPLETED]].sum(skipna=False)
    margin = sums["completed_margin_cents"]
    if pd.isna(margin):
        return {"compared_completed_cents": None, "compared_completed_per_parcel_cents": None}
    parcels = sums["parcel_count"] + sums["sales_to_ship_count"]
    return {
        "compared_completed_cents": round(margin / len(others)),
        "compared_completed_per_parcel_cents": round(margin / parcels),
    }


def _are_alike(now: pd.DataFrame, others: pd.DataFrame) -> bool:
    """Whether the records name the parcels of every month, date them and know them to the same shares as the first."""
    months = pd.concat([now, others])
    shares = months[SHARES].div(months["parcel_count"], axis=0)
    if shares.isna().any(axis=None) or not bool(((shares["benched_parcel_count"] > 0) | months[SENT]).all()):
        return False
    if bool((shares["dated_by_invoice_count"] > CLOSE).any()):
        return False
    return bool(((shares - shares.iloc[0]).abs() <= CLOSE).all(axis=None))


def _survives(month: pd.Series, usual: pd.Series) -> bool:
    """Whether the change keeps its sign, in all and for each parcel, once what is not billed yet is billed the mean of
    what is."""
    by = [(1.0, 1.0), (float(month["parcel_count"]), float(usual["parcel_count"]))]
    return all(_keeps_sign(month / now, usual / before) for now, before in by)


def _keeps_sign(month: pd.Series, usual: pd.Series) -> bool:
    change = month["margin_cents"] - usual["margin_cents"]
    left, was_left = (_unbilled(sums) for sums in (month, usual))
    return bool(change * (change - left + was_left) > 0 or (change == 0 and left == was_left == 0))


def _unbilled(sums: pd.Series) -> float:
    """Cents of the parcels without a bill."""
    charged = float(sums["charged_count"])
    return (float(sums["parcel_count"]) - charged) * float(sums["billed_cents"]) / charged if charged else 0.0
