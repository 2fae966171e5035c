"""Zones that no record states, and those that bills state against the tariff's chart, to be read."""

from __future__ import annotations

import pandas as pd

from models.sql_texts import sql_texts
from pipelines.shop import warehouse

# As many entries as a terminal lists.
MOST = 50


def known_otherwise(connection: warehouse.Connection) -> dict[str, pd.DataFrame]:
    """By title: how many parcels have no zone on record, what bills teach of them, and what contradicts a chart."""
    found = {
        "parcels without a zone on record": "select * from marts.zone_sources order by all",
        "zones by other bills, the longest beginning of a postal code first looked for": sql_texts("queries")[
            "zones_taught"
        ],
        "zones on bills against the chart: of the bills to its entry": (
            "select * from marts.zones_against_chart order by parcel_count desc, carrier, service, chart_prefix, zone"
        ),
    }
    tables = {title: connection.execute(sql).df() for title, sql in found.items()}
    return {title: frame for title, frame in tables.items() if len(frame)} or {
        "every parcel has a zone on record, and no bill contradicts a zone chart": pd.DataFrame()
    }
