"""Tables as their contracts say, and those of the last `dunnage cartons` kept from build to build."""

from __future__ import annotations

import pandas as pd

from models.tables.carton_stock import CARTON_STOCK
from models.tables.cartons import CARTON_TABLES, CHOSEN
from models.tables.services import PARCEL_SERVICES
from pipelines.shop import warehouse


def in_form(found: dict[str, pd.DataFrame]) -> dict[str, pd.DataFrame]:
    """The tables with the columns of their contracts only."""
    stated = {str(contract.name): list(contract.columns) for contract in (*CARTON_TABLES, *CARTON_STOCK)}
    return {name: rows[stated[name]] for name, rows in found.items()}


def keep_chosen(connection: warehouse.Connection) -> pd.DataFrame:
    """Make the tables that the ladder reads where they are missing or of another form; give what the last run kept.

    Returns the rows of analysis.assortment_ladder.
    """
    for contract in (*CHOSEN, PARCEL_SERVICES):
        stated = {name: column.sql_type for name, column in contract.columns.items()}
        schema, table = str(contract.name).split(".")
        found = connection.execute(
            "select column_name, data_type from information_schema.columns where table_schema = ? and table_name = ?",
            [schema, table],
        ).fetchall()
        if dict(found) != stated:
            typed = ", ".join(f"{name} {kind}" for name, kind in stated.items())
            connection.execute(f"create or replace table {contract.name} ({typed})")
    return connection.execute("select * from analysis.assortment_ladder").df()
