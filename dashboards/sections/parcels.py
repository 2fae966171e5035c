"""The parcels that lost most: where to look first."""

from __future__ import annotations

import pandas as pd

from dashboards.parts import Panel, Review, Section, Sentence, in_month

TABLE = "marts.parcel_costs"
PARCELS_SHOWN = 25


def worst_parcels(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's parcels with the lowest margins; account fees are no parcels."""
    parcels = in_month(rows[~rows["is_account"].astype(bool)], review.month)
    return parcels.sort_values(["margin_cents", "parcel_id"], kind="stable").head(PARCELS_SHOWN)


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
