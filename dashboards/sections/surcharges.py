"""How often each surcharge was billed, and what it came to."""

from __future__ import annotations

import pandas as pd

from dashboards import figures
from dashboards.parts import Frame, Panel, Review, Section, in_month
from dashboards.pictures import Picture

TABLE = "marts.surcharge_frequency"
WORDS = "marts.charge_word_costs"


def costliest_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's surcharges, the greatest sum first."""
    return in_month(rows, review.month).sort_values("amount_cents", ascending=False, kind="stable")


def most_frequent_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's surcharges, the greatest share of parcels first."""
    return in_month(rows, review.month).sort_values("surcharge_rate", ascending=False, kind="stable")


def draw_amounts(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Amount billed, one bar per surcharge and carrier."""
    return figures.ranked_bars(rows, frame, ["surcharge", "carrier"], "amount_cents")


def draw_frequency(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Share of the carrier's parcels charged, one bar per surcharge and carrier."""
    return figures.ranked_bars(rows, frame, ["surcharge", "carrier"], "surcharge_rate")


NONE = ("surcharges.none", "surcharges.none_so_far", "surcharges.not_known")

SECTION = Section(
    order=40,
    chapter="carriers",
    name="surcharges",
    title="Surcharges",
    lead=("surcharges.cost_most", "surcharges.cost_most_of_few", *NONE),
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
            draws_shares=True,
            when_empty=NONE,
            note=("surcharges.several",),
        ),
        Panel(
            name="charge-words",
            title="What each word of the invoices came to",
            table=WORDS,
            columns=("charge_code", "carrier", "charge_kind", "line_count", "charged_parcel_count", "amount_cents"),
            choose=costliest_first,
            when_empty=("surcharges.no_line",),
            is_folded=True,
        ),
    ),
)
