"""Letters that will not be sent any more unless the owner asks: reported once each, and settled by the owner's word."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pandas as pd

from models.delivery_attempts import State
from pipelines.delivery.outbox.letters import Queued, queue_within
from pipelines.shop import warehouse
from pipelines.shop.warehouse import Connection

# A notice that is lost itself is shown by `dunnage status`; a notice about it would go the same way.
REPORT = "lost letters"
UNREPORTED = f"state in ('{State.FAILED}', '{State.UNSURE}') and not is_reported and report <> '{REPORT}'"
# Gives the notice: from its number, and one row per lost letter.
WriteNotice = Callable[[int, pd.DataFrame], Queued]


def unreported(connection: Connection) -> pd.DataFrame:
    """Lost letters not yet reported to the owner: report, edition, recipient, state, last_error; the oldest first.

    No rows in a warehouse that an older version published.
    """
    if "is_reported" not in warehouse.standing(connection).get("outbox.messages", ()):
        return pd.DataFrame()
    return connection.execute(
        "select report, edition, recipient, state, last_error from outbox.messages "
        f"where {UNREPORTED} order by queued_at, message_id"
    ).df()


def queue_notice(connection: Connection, folder: Path, write: WriteNotice, now: datetime) -> int:
    """Queue one notice to the owner about every lost letter not reported yet, and note it; returns how many."""
    lost = unreported(connection)
    if lost.empty:
        return 0
    newest = connection.execute("select max(edition) from outbox.messages where report = ?", [REPORT]).fetchall()
    number = int(newest[0][0] or 0) + 1
    with warehouse.transaction(connection):
        queue_within(connection, folder, REPORT, number, [write(number, lost)], now)
        connection.execute(f"update outbox.messages set is_reported = true where {UNREPORTED}")
    return len(lost)


def note_arrived(connection: Connection, now: datetime) -> int:
    """Every unsure letter counts as sent, because its recipient has it, as the owner says; returns how many."""
    return _settle(connection, State.UNSURE, State.SENT, "the owner says that it arrived")


def drop_failed(connection: Connection, now: datetime) -> int:
    """Every failed letter is given up, because the owner wants it no more; returns how many."""
    return _settle(connection, State.FAILED, State.DROPPED, "the owner gave it up")


def _settle(connection: Connection, lost: State, settled: State, words: str) -> int:
    found = connection.execute(
        "update outbox.messages set state = ?, last_error = ? where state = ? returning message_id",
        [settled.value, words, lost.value],
    ).fetchall()
    return len(found)
