"""Tables as their contracts say, and those of the last `dunnage cartons` kept from build to build."""

import pandas as pd

from models.tables import TABLES
from models.tables.cartons import CARTON_STOCK, CARTON_TABLES, CHOSEN
from models.tables.services import SERVICES
from pipelines.shop import warehouse

# What is read of packing methods.
METHODS = tuple(TABLES[name] for name in ("analysis.packing_decision", "analysis.method_carriage"))


def in_form(found: dict[str, pd.DataFrame]) -> dict[str, pd.DataFrame]:
    """The tables with the columns of their contracts only."""
    stated = {str(contract.name): list(contract.columns) for contract in (*CARTON_TABLES, *CARTON_STOCK)}
    return {name: rows[stated[name]] for name, rows in found.items()}


def keep_chosen(connection: warehouse.Connection) -> pd.DataFrame:
    """The rows of analysis.assortment_ladder that the last run of `dunnage cartons` kept."""
    make_missing(connection)
    return connection.execute("select * from analysis.assortment_ladder").df()


def make_missing(connection: warehouse.Connection) -> None:
    """Make the tables that are read here where they are missing or of another form."""
    for contract in (*CHOSEN, *SERVICES, *METHODS):
        stated = {name: column.sql_type for name, column in contract.columns.items()}
        schema, table = str(contract.name).split(".")
        found = connection.execute(
            "select column_name, data_type from information_schema.columns where table_schema = ? and table_name = ?",
            [schema, table],
        ).fetchall()
        if dict(found) != stated:
            typed = ", ".join(f"{name} {kind}" for name, kind in stated.items())
            connection.execute(f"create or replace table {contract.name} ({typed})")
