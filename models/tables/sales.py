"""Contracts of what became of sales."""

from __future__ import annotations

import pandera.pandas as pa

from models.contracts import contract
from models.made_from import MadeFrom

SALES: tuple[pa.DataFrameSchema, ...] = (
    contract(
        "marts.sale_states",
        "One row per month of sale and state of the sale.",
        "sold_month sale_state",
        "sold_month sale_state line_count parcel_count shipping_charged_cents shipping_refunded_cents",
        made_from=MadeFrom("sale_state_parcels"),
    ),
)
