"""Where the shop stands: records imported, rows and letters that wait, runs done."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from models.plain_rows import plain
from models.sql_texts import sql_texts
from pipelines.shop import warehouse
from pipelines.shop.warehouse import Connection, plain_rows

if TYPE_CHECKING:
    import pandas as pd

RECORDS = "record_states"
# What is due by the last build; of all invoices only those in doubt.
DUE = {
    "marts.billing_disputes": "is_disputable or dispute_state = 'won'",
    "analysis.claim_steps": "true",
    "marts.invoice_totals": "total_check in ('does not add up', 'two totals')",
    "analysis.missing_invoices": "true",
    "marts.unpaid_recoveries": "true",
    "marts.record_states": "kind = 'charges'",
    "analysis.carton_orders": "order_state in ('out of stock', 'short before delivery', 'order now', 'count again')",
}
LETTERS = """
    select report, edition, recipient, state, attempts, next_attempt_at, last_error
    from outbox.messages where state not in ('sent', 'dropped') order by queued_at, recipient
"""
RUNS = """
    select kind, due_on, started_at, finished_at, outcome
    from outbox.runs
    qualify row_number() over (partition by kind order by due_on desc) = 1
    order by kind
"""


def records(connection: Connection) -> pd.DataFrame:
    """One row per record kind: rows, first and last day, open rejections; from what is imported, not from the build."""
    states = sql_texts("marts")[RECORDS]
    shown = "kind, row_count, first_on, last_on, rejected_count"
    return plain_rows(connection, f"select {shown} from ({states}) order by kind")


def due(connection: Connection) -> dict[str, pd.DataFrame]:
    """Tables of what is due by the last build, by name; those that it made."""
    there = warehouse.standing(connection)
    return {
        name: plain_rows(connection, f"select * from {name} where {kept} order by all")
        for name, kept in DUE.items()
        if name in there
    }


def unsettled_letters(connection: Connection) -> pd.DataFrame:
    """Letters that were not simply sent: waiting, unsure, failed. No rows before the first report."""
    return _of_outbox(connection, LETTERS)


def last_runs(connection: Connection) -> pd.DataFrame:
    """The latest scheduled run of each kind."""
    return _of_outbox(connection, RUNS)


def overdue_letters(connection: Connection, before: datetime) -> pd.DataFrame:
    """Letters that failed or are unsure, and those due before that instant (UTC, without zone) and still not tried."""
    letters = unsettled_letters(connection)
    if letters.empty:
        return letters
    is_late = letters["state"].isin(["queued", "sending"]) & (letters["next_attempt_at"] < before)
    return letters[is_late | letters["state"].isin(["failed", "unsure"])]


def _of_outbox(connection: Connection, query: str) -> pd.DataFrame:
    # A copy that an older version published has no outbox yet.
    has_outbox = warehouse.has_table(connection, "outbox.messages")
    return plain_rows(connection, query) if has_outbox else plain([], ["state"])
