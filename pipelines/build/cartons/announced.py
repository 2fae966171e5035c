"""Prices classes by the price lists that are announced for the year to come. Call it within `working`."""

import numpy as np
import pandas as pd

from models.carton_choice.offers import Offers
from pipelines.build.cartons.classes import OWN_DAYS, Demand, price, price_on, read, write
from pipelines.shop import warehouse

FROM_DAYS = """
select c.class_key, d.effective_from
from cartons.classes as c
left join cartons.announced_days as d on d.lane_key = c.lane_key
order by c.class_key
"""


def announced_prices(
    connection: warehouse.Connection, offered: Offers, pairs: pd.DataFrame, wanted: Demand
) -> tuple[pd.DataFrame, np.ndarray] | None:
    """Rows of cartons.prices by the lists announced, and the day from which each class is priced by one; None without
    such a list. Fuel and tax are taken as on the parcels' own days."""
    write(connection, "announced_days")
    if read(connection, "announced_days", "lane_key").empty:
        return None
    price_on(connection, "select a.lane_key, a.priced_on from cartons.announced_days as a")
    price(connection, offered, pairs, wanted)
    price_on(connection, OWN_DAYS)
    from_on = connection.execute(FROM_DAYS).df()["effective_from"]
    return read(connection, "prices", "all"), from_on.to_numpy(dtype="datetime64[ns]")
