"""Zones that no record states, and those that bills state against the tariff's chart, to be read."""

import pandas as pd

from models.sql_texts import sql_texts
from pipelines.shop import warehouse

# As many entries as a terminal lists.
MOST = 50

TITLES = {
    "marts.zone_sources": "parcels without a zone on record",
    "learned_zones": "zones by other bills, the longest beginning of a postal code first looked for",
    "marts.zones_against_chart": "zones on bills that differ from the chart, with their share of bills to its entry",
}


def known_otherwise(connection: warehouse.Connection) -> dict[str, pd.DataFrame]:
    """By name: how many parcels have no zone on record, what bills teach of them, and what contradicts a chart."""
    found = {
        "marts.zone_sources": "select * from marts.zone_sources order by all",
        "learned_zones": sql_texts("queries")["learned_zones"],
        "marts.zones_against_chart": (
            "select * from marts.zones_against_chart order by parcel_count desc, carrier, service, chart_prefix, zone"
        ),
    }
    return {name: connection.execute(sql).df() for name, sql in found.items()}
