"""How often each surcharge was billed, and what it came to."""

from __future__ import annotations

import pandas as pd

from dashboards import figures, formats
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, in_month, say

TABLE = "marts.surcharge_frequency"


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


def draw(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Share of the carrier's parcels charged, one bar per surcharge."""
    return figures.ranked_bars(rows, frame, ["carrier", "surcharge"], "surcharge_rate")


SECTION = Section(
    order=40,
    name="surcharges",
    title="Surcharges",
    lead=lead,
    parts=(
        Panel(
            name="surcharge-frequency",
            title="Share of each carrier's parcels that were charged it",
            table=TABLE,
            columns=("surcharge", "carrier", "charged_parcel_count", "parcel_count", "surcharge_rate", "amount_cents"),
            choose=costliest_first,
            draw=draw,
            when_empty="No surcharge was billed for this month's parcels, or their invoices have not come yet.",
            note="One parcel may be charged several surcharges.",
        ),
    ),
)
