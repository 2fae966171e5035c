"""How often each surcharge was billed, and what it came to."""

from __future__ import annotations

import pandas as pd

from dashboards import figures, formats
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, in_month, say

TABLE = "marts.surcharge_frequency"
WORDS = "marts.charge_word_costs"


def costliest_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's surcharges, the greatest sum first."""
    return in_month(rows, review.month).sort_values("amount_cents", ascending=False, kind="stable")


def lead(review: Review) -> Sentence:
    """The surcharge that cost most."""
    rows = review.month_rows(TABLE)
    if rows.empty:
        return (f"No surcharge is on an invoice for parcels of {formats.month(review.month)}.",)
    return say(
        "Cost most: {surcharge} by {carrier}, {amount_cents} on {charged_parcel_count} of {parcel_count} parcels "
        "({surcharge_rate}).",
        TABLE,
        costliest_first(review, rows),
    )


def most_frequent_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's surcharges, the greatest share of parcels first."""
    return in_month(rows, review.month).sort_values("surcharge_rate", ascending=False, kind="stable")


def draw_amounts(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Amount billed, one bar per surcharge and carrier."""
    return figures.ranked_bars(rows, frame, ["surcharge", "carrier"], "amount_cents")


def draw_frequency(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Share of the carrier's parcels charged, one bar per surcharge and carrier."""
    return figures.ranked_bars(rows, frame, ["surcharge", "carrier"], "surcharge_rate")


NONE = "No surcharge was billed for this month's parcels, or their invoices have not come yet."

SECTION = Section(
    order=40,
    name="surcharges",
    title="Surcharges",
    lead=lead,
    parts=(
        Panel(
            name="surcharge-amounts",
            title="What each surcharge came to",
            table=TABLE,
            columns=("surcharge", "carrier", "charged_parcel_count", "amount_cents"),
            choose=costliest_first,
            draw=draw_amounts,
            when_empty=NONE,
        ),
        Panel(
            name="surcharge-frequency",
            title="Share of each carrier's parcels that were charged it",
            table=TABLE,
            columns=("surcharge", "carrier", "charged_parcel_count", "parcel_count", "surcharge_rate"),
            choose=most_frequent_first,
            draw=draw_frequency,
            when_empty=NONE,
            note="One parcel may be charged several surcharges.",
        ),
        Panel(
            name="charge-words",
            title="What each word of the invoices came to",
            table=WORDS,
            columns=("charge_code", "carrier", "charge_kind", "line_count", "charged_parcel_count", "amount_cents"),
            choose=costliest_first,
            when_empty="No invoice charged anything for parcels of this month.",
            is_folded=True,
        ),
    ),
)
