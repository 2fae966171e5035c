"""What the shop's parcels would cost in each packing method, on the shop's own tariffs and cartons."""

import pandas as pd

from models.analyses import repacking
from models.carton_choice.void_fill import stated_fill
from models.settings.cartons import Cartons
from models.sql_texts import sql_texts
from models.tables.rating import PRICED
from pipelines.build import rating
from pipelines.build.cartons.classes import cut_cents, wrapped_items
from pipelines.shop import warehouse

SCHEMA = "repacked"
CARTONS = (
    "select c.* from core.cartons as c "
    "semi join core.current_cartons as n on n.carton_code = c.carton_code and n.effective_from = c.effective_from "
    "anti join core.renamed_cartons as r on r.carton_code = c.carton_code order by all"
)


def method_carriage(connection: warehouse.Connection, sampled_parcels: int, settings: Cartons) -> pd.DataFrame:
    """The rows of analysis.method_carriage, for so many parcels of each item type.

    The tables of the rating stay in the schema SCHEMA until the next time.
    """
    methods = _query(connection, "packing_costs")
    parcels = connection.execute(sql_texts("queries")["repacked_parcels"], [sampled_parcels]).df()
    stocked = repacking.stock(connection.execute(CARTONS).df(), cut_cents(connection, settings))
    offers = repacking.offers(parcels, wrapped_items(connection), methods, stocked, stated_fill(settings))
    return repacking.cheapest(_priced(connection, offers), methods)


def _query(connection: warehouse.Connection, name: str) -> pd.DataFrame:
    return connection.execute(sql_texts("queries")[name]).df()


def _priced(connection: warehouse.Connection, offers: pd.DataFrame) -> pd.DataFrame:
    if offers.empty:
        return offers.assign(postage_cents=pd.array([], dtype="Int64"))
    # Inside the build's transaction only the warehouse itself may be written, so the schema cannot stand in memory.
    connection.execute(f"create schema if not exists {SCHEMA}")
    with warehouse.lent(connection, "incoming_rows", offers[[*repacking.REQUEST, *repacking.WEIGHTS]]):
        connection.execute(f"create or replace table {SCHEMA}.offers as select * from incoming_rows")
    rating.rate(connection, _query(connection, "repacked_requests"), SCHEMA, until=PRICED)
    found = connection.execute(f"select request_id, expected_cents as postage_cents from {SCHEMA}.priced").df()
    return offers.merge(found, on="request_id", how="left")
