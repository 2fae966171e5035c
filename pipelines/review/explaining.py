"""One parcel's whole story: what was packed, what it cost, what was claimed, and why it cost that."""

from __future__ import annotations

from typing import TYPE_CHECKING

from models.errors import NotFoundError
from models.money import columns_of
from models.sql_texts import sql_texts
from pipelines.build.sql_models import with_schemas
from pipelines.shop import warehouse
from pipelines.shop.warehouse import plain_rows

if TYPE_CHECKING:
    import pandas as pd

# Table, its title and what of it is shown; sums and what is said in words are left out.
PARTS = {
    "core.parcels": (
        "the parcel",
        "* exclude (parcel_id, shipped_month, line_count, carton_cents, material_cents, labour_cents, "
        "has_bench_log, has_charges)",
    ),
    "core.parcel_lines": (
        "what was in it",
        "sale_id, line_number, item_type, packed_quantity, shipping_charged_cents, allowance_cents",
    ),
    "core.charge_lines": (
        "what the carrier charged",
        "invoiced_on, invoice_number, line_number, charge_code, charge_kind, amount_cents",
    ),
    "core.claims": (
        "what was claimed",
        "claim_id, opened_on, claim_cause, claim_state, damaged_part, claimed_cents, paid_cents, loss_cents",
    ),
    "marts.parcel_costs": ("what it cost and brought", ", ".join(columns_of("all"))),
}
# On the way to what was billed, as the check of bills takes it: a build keeps none of it.
BILLED = ("repeated_lines", "billed_charges")


def story(connection: warehouse.Connection, parcel_id: str) -> dict[str, pd.DataFrame]:
    """The rows of each table of PARTS that name the parcel, by its name. Raises NotFoundError for an unknown parcel."""
    found = {
        table: plain_rows(connection, f"select {reported} from {table} where parcel_id = ? order by all", [parcel_id])
        for table, (_, reported) in PARTS.items()
    }
    if found["core.parcels"].empty and found["core.charge_lines"].empty:
        raise NotFoundError(
            f"parcel {parcel_id}", "is in no record", "this command", "check the number, or run `dunnage intake`"
        )
    return {table: rows for table, rows in found.items() if len(rows)}


def bill(connection: warehouse.Connection, parcel_id: str) -> dict[str, pd.DataFrame]:
    """What explains the parcel's margin and its bill: `margin`, `parcel`, `lines`, `near`, `disputes`.

    margin, parcel: one row, or none. Lines are by kind and name: discounts stand with what they reduce, lines billed
    twice count once.
    """
    _rebill(connection, parcel_id)
    texts = sql_texts("explaining")
    names = ("margin", "parcel", "lines", "near", "disputes")
    return {name: plain_rows(connection, texts[name], [parcel_id]) for name in names}


def _rebill(connection: warehouse.Connection, parcel_id: str) -> None:
    """Write temp.billed_charges, of one parcel, by the very models of the build."""
    lines = "select * from core.charge_lines where parcel_id = ?"
    connection.execute(f"create or replace temp table charge_lines as {lines}", [parcel_id])
    shipped = "select * from core.shipment_parcels where parcel_id = ?"
    connection.execute(f"create or replace temp table shipment_parcels as {shipped}", [parcel_id])
    for name in BILLED:
        sql = with_schemas(sql_texts("core")[name], {"core": "temp"})
        connection.execute(f"create or replace temp table {name} as {sql}")
