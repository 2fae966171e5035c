"""What parcels of the last twelve months would cost under the tariff in force or announced: what charges are set by."""

from datetime import date

import pandas as pd

from models.analyses import guidance
from models.sql_texts import sql_texts
from models.tables.rating import PRICED
from pipelines.build import rating
from pipelines.shop import warehouse

SCHEMA = "forward"
MOST_OF_EACH = 1_000  # of an item type and zone band; the percentile of more parcels would hardly move


def forward_costs(connection: warehouse.Connection, as_of: date) -> pd.DataFrame:
    """The rows of analysis.forward_costs, for the last day of the records.

    The tables of the rating stay in the schema SCHEMA until the next time.
    """
    stated = {"as_of": as_of, "most": MOST_OF_EACH}
    parcels = connection.execute(sql_texts("queries")["forward_parcels"], stated).df()
    return guidance.costs(parcels, _rated(connection, parcels[parcels["rated_on"] > parcels["shipped_on"]]))


def _rated(connection: warehouse.Connection, moved: pd.DataFrame) -> pd.DataFrame:
    """parcel_id and again_cents (base and surcharges) of the parcels, on the days to which they are moved."""
    if moved.empty:
        return pd.DataFrame({"parcel_id": [], "again_cents": []})
    # Inside the build's transaction only the warehouse itself may be written, so the schema cannot stand in memory.
    connection.execute(f"create schema if not exists {SCHEMA}")
    with warehouse.lent(connection, "moved_parcels", moved[["parcel_id", "rated_on"]]):
        columns = ", ".join(f"r.{name}" for name in rating.ASKED if name != "shipped_on")
        asked = connection.execute(
            f"select {columns}, cast(m.rated_on as date) as shipped_on from rating.requests as r "
            "inner join moved_parcels as m on m.parcel_id = r.request_id"
        ).df()
    rating.rate(connection, asked, SCHEMA, until=PRICED)
    return connection.execute(
        f"select request_id as parcel_id, base_cents + surcharge_cents as again_cents from {SCHEMA}.priced"
    ).df()
