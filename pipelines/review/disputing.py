"""Disputes of billing differences: list, export, and say what became of one.

What was said is a row of shop.disputes, written at the command line one by one: there is no file to land. Rows are
only added, so that the history stays. Recovered money is a note there: the margin counts it when the carrier bills a
credit, so that nothing counts twice.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from models.cells.numbers import minor_units
from models.errors import SettingsError
from models.shop_units import Units
from models.sql_texts import sql_texts
from pipelines.review import appended_notes, exporting
from pipelines.shop import warehouse

if TYPE_CHECKING:
    import pandas as pd

SHOWN = (
    "dispute_id, difference_class, charge_name, over_cents, credited_cents, outstanding_cents, dispute_state, "
    "last_dispute_on, own_evidence, billed_evidence"
)


def listed(connection: warehouse.Connection, *, every: bool = False) -> pd.DataFrame:
    """The disputes that can still be sent, first those whose last day is nearest; with `every`, all there are."""
    kept = "true" if every else "is_disputable"
    order = "last_dispute_on, over_cents desc, dispute_id"
    asked = f"select {SHOWN} from marts.billing_disputes where {kept} order by {order}"
    return warehouse.plain_rows(connection, asked)


def checks(connection: warehouse.Connection) -> pd.DataFrame:
    """How many bills of each month could be checked: what a list without disputes is judged by."""
    return warehouse.plain_rows(connection, "select * from marts.billing_checks")


def export(connection: warehouse.Connection, file: Path, units: Units, *, every: bool = False) -> int:
    """Write all columns of the disputes for the carrier or a spreadsheet; returns how many."""
    kept = "true" if every else "is_disputable"
    order = "carrier, last_dispute_on, dispute_id"
    return exporting.export(connection, "marts.billing_disputes", file, units, kept, order)


def mark(
    connection: warehouse.Connection, name: str, state: str, recovered_cents: int | None, marked_at: datetime
) -> str:
    """Note what became of a dispute; returns its id. The next review is built again. Said twice, it is noted once.

    name: the dispute's id, or the parcel where it has only one. Raises NotFoundError, and SettingsError for money
    recovered of a dispute that was not won or beyond what it was about.
    """
    dispute_id, over_cents = _named(connection, name)
    if recovered_cents is not None and (state != "won" or not 0 <= recovered_cents <= over_cents):
        raise SettingsError(
            f"dispute {dispute_id}",
            f"cannot have recovered that amount as {state}",
            "this dispute; nothing was noted",
            f"give --recovered only with won, at most {over_cents / 100:.2f}",
        )
    if _is_said(connection, dispute_id, state, recovered_cents):
        return dispute_id
    with warehouse.transaction(connection):
        at = appended_notes.after_the_last(connection, "shop.disputes.dispute_id", dispute_id, marked_at)
        connection.execute("insert into shop.disputes values (?, ?, ?, ?)", [dispute_id, state, at, recovered_cents])
        sql = sql_texts("marts")["billing_disputes"]
        connection.execute(f"create or replace table marts.billing_disputes as {sql}")
        appended_notes.ask_for_a_build(connection)
    return dispute_id


def _is_said(connection: warehouse.Connection, dispute_id: str, state: str, recovered_cents: int | None) -> bool:
    """Whether the last mark says it already; one that names no amount takes none back."""
    last = connection.execute(
        "select dispute_state, recovered_cents from shop.disputes where dispute_id = ? order by marked_at desc limit 1",
        [dispute_id],
    ).fetchall()
    return bool(last) and last[0][0] == state and recovered_cents in (None, last[0][1])


def _named(connection: warehouse.Connection, name: str) -> tuple[str, int]:
    found = connection.execute(
        "select dispute_id, over_cents from marts.billing_disputes where dispute_id = ? or parcel_id = ? "
        "order by dispute_id",
        [name, name],
    ).fetchall()
    appended_notes.hold_to_one([str(row[0]) for row in found], "dispute", name)
    return str(found[0][0]), int(found[0][1])


def cents(text: str | None, digits: int, option: str = "--recovered") -> int | None:
    """An amount such as 14.25 in minor units of a currency with that many digits; None for none.

    Raises SettingsError for what is no amount.
    """
    found = None if text is None else minor_units(text, digits)
    if found is None and text is not None:
        raise SettingsError(option, f"{text!r} is no amount", "this command", "write it as 14.25")
    return found
