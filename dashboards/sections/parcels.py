"""The parcels that lost most: where to look first."""

from __future__ import annotations

import pandas as pd

from dashboards.parts import Panel, Review, Section, Sentence, in_month

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
            columns=(
                "parcel_id",
                "item_type",
                "carrier",
                "service",
                "zone",
                "carton_code",
                "packing_method",
                "shipping_charged_cents",
                "billed_cents",
                "surcharge_cents",
                "adjustment_cents",
                "damage_net_cents",
                "margin_cents",
            ),
            choose=worst_parcels,
            when_empty="No parcel was shipped in this month.",
        ),
    ),
)
