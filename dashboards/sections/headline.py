"""What shipping made or lost in the month, beside the month before."""

from __future__ import annotations

import pandas as pd

from dashboards import formats
from dashboards.parts import Review, Section, Sentence, Statement, say
from models.money import columns_of

TABLE, BRIDGE = "marts.shipping_margin", "analysis.margin_bridge"
STEP_CHANGE = "margin_step_change_cents"
GROUPS = {
    "Came in": columns_of("income"),
    "Billed by carriers": (*columns_of("charges"), "billed_cents"),
    "Other costs": columns_of("other_outlays"),
    "Left over": ("margin_cents", "margin_change_cents", "margin_per_parcel_cents"),
    "For comparison": ("parcel_count", "carriage_per_parcel_cents"),
}


def lead(review: Review) -> Sentence:
    """The month's margin, the month before, and what may still change the figure."""
    rows = both_months(review, review.table(TABLE))
    if rows.empty:
        return (f"No parcels were shipped in {formats.month(review.month)}.",)
    return (*_result(rows), *_against(rows), *_moved(review), *_still_open(review))


def _result(rows: pd.DataFrame) -> Sentence:
    verb = "lost money" if rows.iloc[0]["margin_cents"] < 0 else "paid for itself"
    return say(f"In {{shipped_month}} shipping {verb}: {{margin_cents}} on {{parcel_count}} parcels. ", TABLE, rows)


def _against(rows: pd.DataFrame) -> Sentence:
    if len(rows) == 1:
        return ("There is no month before to compare with. ",)
    change = rows.iloc[0]["margin_change_cents"]
    word = "better" if change > 0 else "worse"
    before = say("{shipped_month} ({margin_cents} on {parcel_count} parcels): ", TABLE, rows, at=1)
    return (f"That is {word} than " if change else "That is the same as ", *before, *_change(rows))


def _moved(review: Review) -> Sentence:
    """The step that moved the margin most, where the bridge to the month before is known."""
    steps = review.month_rows(BRIDGE)
    steps = steps if steps.empty else steps[steps["step_number"] < steps["step_number"].max()]
    if steps.empty or not (steps[STEP_CHANGE] != 0).any():
        return ()
    largest = steps.loc[[steps[STEP_CHANGE].abs().idxmax()]]
    return say(f"What moved it most: {{bridge_step}}, {{{STEP_CHANGE}}}. ", BRIDGE, largest)


def _change(rows: pd.DataFrame) -> Sentence:
    return say("{margin_change_cents}. ", TABLE, rows)


def _still_open(review: Review) -> Sentence:
    claims = "Claims that buyers have not reported yet are not in it."
    known = review.month_rows("marts.coverage")
    if known.empty or formats.is_unknown(known.iloc[0]["invoiced_share"]):
        return (claims,)
    return (*say("Invoices cover {invoiced_share} of the month's parcels. ", "marts.coverage", known), claims)


def both_months(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month reviewed, then the month before it in the records; nothing without the month reviewed."""
    if rows.empty or not (rows["shipped_month"] == pd.Timestamp(review.month)).any():
        return rows.iloc[:0]
    until = rows[rows["shipped_month"] <= pd.Timestamp(review.month)]
    return until.sort_values("shipped_month", ascending=False).head(2)


SECTION = Section(
    order=10,
    name="headline",
    title="What shipping made or lost",
    lead=lead,
    is_headline=True,
    parts=(
        Statement(
            name="margin",
            title="From what buyers paid to what was left",
            table=TABLE,
            groups=GROUPS,
            choose=both_months,
            when_empty="There is nothing to add up for this month.",
            note="Left over = came in, less what carriers billed, less other costs.",
            is_folded=True,
        ),
    ),
)
