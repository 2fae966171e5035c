"""One parcel's whole story: what was packed, what it cost, what was claimed."""

from __future__ import annotations

import pandas as pd

from models.errors import NotFoundError
from pipelines import warehouse

PARTS = {
    "parcel": "core.parcels",
    "what was in it": "core.parcel_lines",
    "what the carrier charged": "core.charge_lines",
    "what was claimed": "core.claims",
    "what it cost and brought": "marts.parcel_costs",
}


def story(connection: warehouse.Connection, parcel_id: str) -> dict[str, pd.DataFrame]:
    """The rows of each table that name the parcel, by title. Raises NotFoundError for an unknown parcel."""
    found = {
        title: connection.execute(f"select * from {table} where parcel_id = ?", [parcel_id]).df()
        for title, table in PARTS.items()
    }
    if found["parcel"].empty and found["what the carrier charged"].empty:
        raise NotFoundError(
            f"parcel {parcel_id}", "is in no record", "this command", "check the number, or run `dunnage intake`"
        )
    return {title: rows for title, rows in found.items() if len(rows)}
