"""The parcels that lost most: where to look first."""

from __future__ import annotations

import pandas as pd

from dashboards.parts import Panel, Review, Section, all_columns, in_month

TABLE = "marts.worst_parcels"


def worst_parcels(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's parcels with the lowest margins, the lowest first."""
    return in_month(rows, review.month).sort_values("place")


SECTION = Section(
    order=80,
    chapter="money",
    name="parcels",
    title="Parcels that lost most",
    lead=("margin.partly_billed", "margin.how_to_read_parcels"),
    parts=(
        Panel(
            name="worst-parcels",
            title="Parcels with the lowest margin",
            table=TABLE,
            columns=all_columns(TABLE, but="shipped_month place channel"),
            choose=worst_parcels,
            when_empty=("margin.no_parcels",),
        ),
    ),
)
