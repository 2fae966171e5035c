"""One parcel's whole story: what was packed, what it cost, what was claimed, and why it cost that."""

from __future__ import annotations

import pandas as pd

from models.errors import NotFoundError
from models.money import columns_of
from models.sql_texts import sql_texts
from pipelines.build.sql_models import with_schemas
from pipelines.shop import warehouse

# Title, table and what of it is shown; sums and what is said in words are left out.
PARTS = {
    "the parcel": (
        "core.parcels",
        "* exclude (parcel_id, shipped_month, line_count, carton_cents, material_cents, labour_cents, "
        "has_bench_log, has_charges)",
    ),
    "what was in it": (
        "core.parcel_lines",
        "sale_id, line_number, item_type, packed_quantity, shipping_charged_cents, allowance_cents",
    ),
    "what the carrier charged": (
        "core.charge_lines",
        "invoiced_on, invoice_number, line_number, charge_code, charge_kind, amount_cents",
    ),
    "what was claimed": (
        "core.claims",
        "claim_id, opened_on, claim_cause, claim_state, damaged_part, claimed_cents, paid_cents, loss_cents",
    ),
    "what it cost and brought": (
        "marts.parcel_costs",
        ", ".join(columns_of("all")),
    ),
}
# On the way to what was billed, as the check of bills takes it: a build keeps none of it.
BILLED = ("repeated_lines", "billed_charges")


def story(connection: warehouse.Connection, parcel_id: str) -> dict[str, pd.DataFrame]:
    """The rows of each table that name the parcel, by title. Raises NotFoundError for an unknown parcel."""
    found = {
        title: connection.execute(f"select {reported} from {table} where parcel_id = ? order by all", [parcel_id]).df()
        for title, (table, reported) in PARTS.items()
    }
    if found["the parcel"].empty and found["what the carrier charged"].empty:
        raise NotFoundError(
            f"parcel {parcel_id}", "is in no record", "this command", "check the number, or run `dunnage intake`"
        )
    return {title: rows for title, rows in found.items() if len(rows)}


def bill(connection: warehouse.Connection, parcel_id: str) -> dict[str, pd.DataFrame]:
    """What explains the parcel's margin and its bill: `margin`, `parcel`, `lines`, `near`, `disputes`.

    margin, parcel: one row, or none. Lines are by kind and name: discounts stand with what they reduce, lines billed
    twice count once.
    """
    _rebill(connection, parcel_id)
    texts = sql_texts("explaining")
    names = ("margin", "parcel", "lines", "near", "disputes")
    return {name: connection.execute(texts[name], [parcel_id]).df() for name in names}


def _rebill(connection: warehouse.Connection, parcel_id: str) -> None:
    """Write temp.billed_charges, of one parcel, by the very models of the build."""
    lines = "select * from core.charge_lines where parcel_id = ?"
    connection.execute(f"create or replace temp table charge_lines as {lines}", [parcel_id])
    shipped = "select * from core.shipment_parcels where parcel_id = ?"
    connection.execute(f"create or replace temp table shipment_parcels as {shipped}", [parcel_id])
    for name in BILLED:
        sql = with_schemas(sql_texts("core")[name], {"core": "temp"})
        connection.execute(f"create or replace temp table {name} as {sql}")
