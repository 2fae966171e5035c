"""The letters of the outbox: rows of outbox.messages, committed before and after what the outside world can see.

A sender claims what is due in one short transaction, talks to the server without the warehouse, and takes the noted
answers over in another. Instants are UTC, without zone. Only the outbox says when a letter is tried again.
"""

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path

from models.delivery_attempts import Letter, State, claimed, settled
from models.errors import NotFoundError
from pipelines.delivery.outbox import texts
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings
from pipelines.shop.warehouse import Connection


@dataclass(frozen=True)
class Queued:
    """One letter ready to go: its id, recipient and whole text."""

    message_id: str
    recipient: str
    text: bytes


@dataclass(frozen=True)
class Claimed:
    """One letter that this run sends. is_repeat: the server may have it already."""

    message_id: str
    recipient: str
    is_repeat: bool


def queue(
    connection: Connection, folder: Path, report: str, edition: int, letters: Iterable[Queued], now: datetime
) -> list[str]:
    """Queue the letters that were not queued before, all or none; returns the ids of the new ones."""
    with warehouse.transaction(connection):
        return queue_within(connection, folder, report, edition, letters, now)


def queue_within(
    connection: Connection, folder: Path, report: str, edition: int, letters: Iterable[Queued], now: datetime
) -> list[str]:
    """The same within a transaction of the caller's."""
    known = {row[0] for row in connection.execute("select message_id from outbox.messages").fetchall()}
    fresh = [letter for letter in letters if letter.message_id not in known]
    for letter in fresh:
        texts.keep_text(folder, letter.message_id, letter.text)
    for letter in fresh:
        connection.execute(
            "insert into outbox.messages values (?, ?, ?, ?, 'queued', 0, 0, ?, ?, null, '', false)",
            [letter.message_id, report, edition, letter.recipient, now, now],
        )
    return [letter.message_id for letter in fresh]


def claim_due(connection: Connection, folder: Path, now: datetime) -> list[Claimed]:
    """Claim every letter whose time has come. Only for the sole sender, after `settle`."""
    due = _letters(connection, "state = 'queued' and next_attempt_at <= ?", [now])
    for letter in due:
        texts.forget(folder, letter.message_id)
    with warehouse.transaction(connection):
        for letter in due:
            _save(connection, claimed(letter))
    recipients = dict(connection.execute("select message_id, recipient from outbox.messages").fetchall())
    return [Claimed(letter.message_id, recipients[letter.message_id], letter.is_repeat) for letter in due]


def settle(connection: Connection, folder: Path, now: datetime) -> list[Letter]:
    """Take over the noted answers to all claimed letters, of this run or of one that died; returns them as they stand.

    Only for the sole sender: a claim of another would be taken for a dead one's.
    """
    left = _letters(connection, "state = 'sending'", [])
    outcome = [settled(letter, texts.noted(folder, letter.message_id), now) for letter in left]
    with warehouse.transaction(connection):
        for letter in outcome:
            _save(connection, letter)
    for letter in outcome:
        texts.forget(folder, letter.message_id)
    _sweep(connection, folder)
    return outcome


def _letters(connection: Connection, condition: str, values: Sequence[object]) -> list[Letter]:
    found = connection.execute(
        f"select {', '.join(COLUMNS)} from outbox.messages where {condition} order by queued_at, message_id",
        list(values),
    ).fetchall()
    named = (dict(zip(COLUMNS, row, strict=True)) for row in found)
    return [Letter(**{**row, "state": State(row["state"])}) for row in named]


COLUMNS = tuple(Letter.__dataclass_fields__)


def _save(connection: Connection, letter: Letter) -> None:
    said = asdict(letter) | {"state": letter.state.value}
    stated = ", ".join(f"{name} = ?" for name in said)
    connection.execute(f"update outbox.messages set {stated} where message_id = ?", [*said.values(), letter.message_id])


def _sweep(connection: Connection, folder: Path) -> None:
    """Texts of letters that are sent or dropped are not kept: the page and the workbook are."""
    asked = "select message_id from outbox.messages where state in ('sent', 'dropped')"
    settled_texts = {texts.text_path(folder, message_id) for (message_id,) in connection.execute(asked).fetchall()}
    for path in settled_texts.intersection(folder.glob("*.eml")):
        path.unlink()


def retry_failed(connection: Connection, now: datetime) -> int:
    """Queue every failed letter again, with all its attempts; returns how many. The server never took any of them."""
    return _queue_again(connection, State.FAILED, now)


def retry_unsure(connection: Connection, now: datetime) -> int:
    """Queue every unsure letter again, because the owner asks for it; returns how many. Some may arrive twice."""
    return _queue_again(connection, State.UNSURE, now)


def _queue_again(connection: Connection, state: State, now: datetime) -> int:
    found = connection.execute(
        "update outbox.messages set state = 'queued', attempts = 0, next_attempt_at = ?, is_reported = false "
        "where state = ? returning message_id",
        [now, state.value],
    ).fetchall()
    return len(found)


def next_due(connection: Connection, now: datetime) -> datetime | None:
    """When the next letter is due, None where none waits, or in a warehouse that has no outbox yet.

    A claimed one is due now: its sender may have died."""
    if not warehouse.has_table(connection, "outbox.messages"):
        return None
    found = connection.execute(
        "select min(case state when 'sending' then ? else next_attempt_at end) from outbox.messages "
        "where state in ('queued', 'sending')",
        [now],
    ).fetchall()
    due: datetime | None = found[0][0]
    return due


def next_letter_at(settings: Settings, now: datetime) -> datetime | None:
    """`next_due` of a shop; None too where it has no mail server, or nothing was ever imported."""
    if not settings.mail.is_set:
        return None
    try:
        with warehouse.reading(settings) as connection:
            return next_due(connection, now)
    except NotFoundError:
        return None
