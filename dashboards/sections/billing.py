"""What was billed otherwise than the tariff says, and what can still be disputed."""

from __future__ import annotations

import pandas as pd

from dashboards import figures, formats
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, all_columns, in_month, say

TOTALS, DISPUTES, DIFFERENCES = "marts.billing_totals", "marts.billing_disputes", "marts.billing_differences"
CURVES, UNCHECKED = "analysis.rate_curves", "marts.unchecked_charges"
QUOTED, UNUSED = "marts.quoted_against_billed", "marts.unused_labels"
NONE = "Every bill of this month's parcels that could be checked is what the tariff says."
SHOWN = 25


def lead(review: Review) -> Sentence:
    """The dispute whose last day is nearest, or that there is none; and how far learned prices in use miss at most."""
    rows = still_open(review, review.table(DISPUTES))
    if rows.empty:
        return ("Nothing can be disputed now. ", *_learned(review))
    next_day = "The next last day is {last_dispute_on}: {carrier}, {difference_class}, {outstanding_cents}. "
    return (*say(next_day, DISPUTES, rows), *_learned(review))


def _learned(review: Review) -> Sentence:
    curves = review.table(CURVES)
    used = curves if curves.empty else curves[curves["is_in_use"].astype(bool)]
    if used.empty:
        return ()
    worst = used.sort_values("left_out_error_share", ascending=False, na_position="last", kind="stable")
    words = "Prices by {tariff_code} are learned from bills, not published: "
    if formats.is_unknown(worst.iloc[0]["left_out_error_share"]):
        return say(words + "the bills are too few to say how far they miss. ", CURVES, worst)
    miss = "{left_out_error_share} of a bill on average"
    return say(words + f"in {{service}}, zone {{zone}}, they miss by {miss}. ", CURVES, worst)


def costliest_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's causes, the greatest sum first."""
    return in_month(rows, review.month).sort_values("over_cents", ascending=False, kind="stable")


def still_open(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: what can be disputed, of parcels of any month, the nearest last day first."""
    if rows.empty:
        return rows
    return rows[rows["is_disputable"].astype(bool)].sort_values(["last_dispute_on", "dispute_id"]).head(SHOWN)


def not_rated(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's parcels that could not be checked."""
    month = in_month(rows, review.month)
    return month if month.empty else month[month["difference_class"] == "not rated"]


def used_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: learned prices, those in use first, then those that rest on most bills."""
    if rows.empty:
        return rows
    return rows.sort_values(["is_in_use", "bill_count"], ascending=False, kind="stable").head(SHOWN)


def furthest_from_quote(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's item types, the one billed furthest above its quotes first."""
    return in_month(rows, review.month).sort_values("above_quote_cents", ascending=False, kind="stable")


def next_refund_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: unused labels, the nearest last day of a refund first, those past it or without one last."""
    if rows.empty:
        return rows
    is_open = rows["refund_days_left"].fillna(-1) >= 0
    ordered = rows.assign(is_past=~is_open).sort_values(["is_past", "refund_by_on", "parcel_id"], kind="stable")
    return ordered.drop(columns="is_past").head(SHOWN)


def draw_causes(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Billed beyond the tariff, one bar per cause and carrier."""
    return figures.ranked_bars(rows, frame, ["difference_class", "carrier"], "over_cents")


SECTION = Section(
    order=44,
    name="billing",
    title="Billed otherwise than the tariff says",
    lead=lead,
    parts=(
        Panel(
            name="billing-causes",
            title="What each cause added to the bills of this month's parcels",
            table=TOTALS,
            columns=all_columns(
                TOTALS,
                first="difference_class carrier dispute_count over_cents credited_cents outstanding_cents",
                but="shipped_month disputable_cents",
            ),
            choose=costliest_first,
            draw=draw_causes,
            when_empty=NONE,
        ),
        Panel(
            name="disputes",
            title="To dispute, the nearest last day first",
            table=DISPUTES,
            columns=(
                *("dispute_id", "difference_class", "outstanding_cents", "own_evidence", "billed_evidence"),
                "last_dispute_on",
            ),
            choose=still_open,
            when_empty="Nothing that was billed wrongly can still be disputed.",
            note=f"At most {formats.count(SHOWN)} are shown; `dunnage disputes` has all of them.",
        ),
        Panel(
            name="quoted-against-billed",
            title="Postage quoted against billed, by item type",
            table=QUOTED,
            columns=all_columns(QUOTED, first="item_type parcel_count", but="shipped_month"),
            choose=furthest_from_quote,
            when_empty="No parcel of this month has both a label with its quote and a base charge.",
            is_folded=True,
        ),
        Panel(
            name="unused-labels",
            title="Paid labels never scanned",
            table=UNUSED,
            columns=all_columns(UNUSED, first="parcel_id quoted_cents refund_by_on refund_days_left"),
            choose=next_refund_first,
            when_empty="No paid label on record is without a scan for a week or more.",
            is_folded=True,
        ),
        Panel(
            name="not-rated",
            title="Bills that could not be checked",
            table=DIFFERENCES,
            columns=("parcel_id", "carrier", "charge_name", "billed_cents"),
            choose=not_rated,
            when_empty="Every bill of this month could be checked.",
            is_folded=True,
        ),
        Panel(
            name="not-checked",
            title="Charges outside the tariff: options, events, and charges that it states no rule for",
            table=UNCHECKED,
            columns=("carrier", "charge_name", "difference_class", "line_count", "parcel_count", "billed_cents"),
            when_empty="Every charge of this month is one that the tariff states.",
            note="None of these counts as a billing error. State an option or event with its amount in the tariff, and "
            "its amount is checked.",
            is_folded=True,
        ),
        Panel(
            name="learned-prices",
            title="Prices learned from bills, and how far they miss",
            table=CURVES,
            columns=(
                *("carrier", "service", "zone", "is_in_use", "learned_first_on", "learned_last_on", "bill_count"),
                *("seen_from_lb", "seen_to_lb", "left_out_error_cents", "left_out_error_share"),
            ),
            choose=used_first,
            when_empty="Every parcel went out under its carrier's own price list; no price is learned.",
            note="The error is that of parcels left out in turn. Outside the weights seen there is no price. Prices "
            "not in use are for days without a price list: `dunnage tariff learn` writes them to a file.",
        ),
    ),
)
