"""What the commands note of disputes and claims: rows that are only added, and the build that follows from them."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from models.errors import NotFoundError
from pipelines.shop import warehouse


def after_the_last(connection: warehouse.Connection, table: str, key: str, marked_at: datetime) -> datetime:
    """The instant, or a moment after the last mark: two may fall into one second, or a clock be set back.

    table: with its first column, such as `shop.disputes.dispute_id`, which holds `key`.
    """
    rows, _, column = table.rpartition(".")
    (last,) = connection.execute(f"select max(marked_at) from {rows} where {column} = ?", [key]).fetchall()[0]
    return marked_at if last is None else max(marked_at, last + timedelta(microseconds=1))


def ask_for_a_build(connection: warehouse.Connection) -> None:
    """Let the next review build again: what is marked is in no record."""
    connection.execute("update intake.builds set fingerprint = ''")


def hold_to_one(found: Sequence[str], kind: str, name: str) -> None:
    """Raises NotFoundError where a name is of no dispute or claim, or of several; found: their ids."""
    if len(found) != 1:
        what = f"may be any of {', '.join(found)}" if found else f"is not among the {kind}s"
        raise NotFoundError(f"{kind} {name}", what, "this command", f"take an id from `dunnage {kind}s list --all`")
