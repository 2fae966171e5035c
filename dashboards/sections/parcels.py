"""The parcels that lost most: where to look first."""

from __future__ import annotations

import pandas as pd

from dashboards.parts import Panel, Review, Section, Sentence, all_columns, in_month

TABLE = "marts.worst_parcels"


def worst_parcels(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's parcels with the lowest margins, the lowest first."""
    return in_month(rows, review.month).sort_values("place")


def lead(review: Review) -> Sentence:
    """What the list is for."""
    if review.month_rows(TABLE).empty:
        return ()
    return (
        "The parcels with the lowest margin, worst first. A surcharge, an adjustment or a claim that stands out here "
        "is the place to start.",
    )


SECTION = Section(
    order=80,
    name="parcels",
    title="Parcels that lost most",
    lead=lead,
    parts=(
        Panel(
            name="worst-parcels",
            title="Parcels with the lowest margin",
            table=TABLE,
            columns=all_columns(TABLE, but="shipped_month place channel"),
            choose=worst_parcels,
            when_empty="No parcel was shipped in this month.",
        ),
    ),
)
