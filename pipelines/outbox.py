"""The outbox: which editions of which reports exist, who gets them, and how far each letter has come.

A letter's text lies as a file in the shop's folder `outbox` until it is settled; its state is a row of
outbox.messages, committed before and after each step that the outside world can see. Instants are UTC, without zone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime
from pathlib import Path

import pandas as pd

from models import editions
from models.editions import Amounts, changes
from models.mailing import Answer, Letter, Reply, State, answered, begun, found_cut_off
from pipelines import durable, warehouse
from pipelines.warehouse import Connection

# Talks to the mail server about one letter: its text, its recipient, and what to call when the text goes out.
Deliver = Callable[[bytes, str, Callable[[], None]], Answer]
REPEATED = b"X-Dunnage-Repeat: possible\r\n"


@dataclass(frozen=True)
class Edition:
    """number: 1 for the first state of the facts that was reported. changes: what differs from the edition before."""

    number: int
    changes: pd.DataFrame


@dataclass(frozen=True)
class Queued:
    """One letter ready to go: its id, recipient and whole text."""

    message_id: str
    recipient: str
    text: bytes


def edition_of(
    connection: Connection, report: str, fingerprint: str, headline: Amounts, now: datetime, *, keep: bool = True
) -> Edition:
    """The edition that reports these facts: the one that did so before, or a new one, which is remembered if `keep`."""
    known = connection.execute(
        "select edition from outbox.editions where report = ? and fingerprint = ?", [report, fingerprint]
    ).fetchall()
    number = int(known[0][0]) if known else _newest(connection, report) + 1
    if keep and not known:
        with warehouse.transaction(connection):
            _remember(connection, report, number, fingerprint, headline, now)
    if number == 1:
        return Edition(1, changes({}, {}))
    return Edition(number, changes(_headline(connection, report, number - 1), headline))


def review_edition(
    connection: Connection, month: date, tables: Mapping[str, pd.DataFrame], *, keep: bool = False
) -> Edition:
    """The edition of a month's review as drawn from its tables; `keep` remembers a new one.

    Where letters go out, an edition is one that was mailed, and a page that was not yet is shown as the next. Without
    a mail server the page is the report, so it is kept for the page.
    """
    facts = editions.report_name(month), editions.fingerprint(tables, month), editions.headline(tables, month)
    return edition_of(connection, *facts, datetime.now(UTC).replace(tzinfo=None), keep=keep)


def _newest(connection: Connection, report: str) -> int:
    found = connection.execute("select max(edition) from outbox.editions where report = ?", [report]).fetchall()
    return int(found[0][0] or 0)


def _remember(
    connection: Connection, report: str, number: int, fingerprint: str, headline: Amounts, now: datetime
) -> None:
    connection.execute("insert into outbox.editions values (?, ?, ?, ?)", [report, number, fingerprint, now])
    for measure, amount in headline.items():
        connection.execute("insert into outbox.headlines values (?, ?, ?, ?)", [report, number, measure, amount])


def _headline(connection: Connection, report: str, number: int) -> Mapping[str, float | None]:
    return dict(
        connection.execute(
            "select measure, amount from outbox.headlines where report = ? and edition = ?", [report, number]
        ).fetchall()
    )


def queue(
    connection: Connection, folder: Path, report: str, edition: int, letters: Iterable[Queued], now: datetime
) -> list[str]:
    """Queue the letters that were not queued before, all or none; returns the ids of the new ones."""
    known = {row[0] for row in connection.execute("select message_id from outbox.messages").fetchall()}
    fresh = [letter for letter in letters if letter.message_id not in known]
    for letter in fresh:
        durable.write(text_path(folder, letter.message_id), letter.text)
    with warehouse.transaction(connection):
        for letter in fresh:
            connection.execute(
                "insert into outbox.messages values (?, ?, ?, ?, 'queued', 0, 0, ?, ?, null, '')",
                [letter.message_id, report, edition, letter.recipient, now, now],
            )
    return [letter.message_id for letter in fresh]


def text_path(folder: Path, message_id: str) -> Path:
    """Where the letter's text lies until it is settled."""
    return folder / f"{message_id.strip('<>').split('@')[0]}.eml"


def send_due(connection: Connection, folder: Path, deliver: Deliver, now: Callable[[], datetime]) -> list[Letter]:
    """Send every letter whose time has come; returns them as they stand now.

    Letters of a run that was cut off are settled or queued again first. Where the server itself fails, it is not asked
    again in this run: the letters left get the same answer.
    """
    for letter in _in_state(connection, State.SENDING):
        _save(connection, found_cut_off(letter, now()))
    outcome: list[Letter] = []
    failing: Answer | None = None
    for letter in _due(connection, now()):
        answer = failing or _talk(connection, folder, letter, deliver)
        failing = answer if answer.is_for_all else None
        outcome.append(answered(letter, answer, now()))
        _save(connection, outcome[-1])
    _sweep(connection, folder)
    return outcome


def _talk(connection: Connection, folder: Path, letter: Letter, deliver: Deliver) -> Answer:
    path = text_path(folder, letter.message_id)
    if not path.exists():
        return Answer(Reply.REFUSED, f"its text {path.name} is gone from the shop's folder {folder.name}")
    text = REPEATED + path.read_bytes() if letter.is_repeat else path.read_bytes()
    recipient = connection.execute(
        "select recipient from outbox.messages where message_id = ?", [letter.message_id]
    ).fetchall()[0][0]
    return deliver(text, str(recipient), lambda: _save(connection, begun(letter)))


COLUMNS = tuple(Letter.__dataclass_fields__)


def _in_state(connection: Connection, state: State) -> list[Letter]:
    return _letters(connection, "state = ?", [state.value])


def _due(connection: Connection, now: datetime) -> list[Letter]:
    return _letters(connection, "state = 'queued' and next_attempt_at <= ?", [now])


def _letters(connection: Connection, condition: str, values: Sequence[object]) -> list[Letter]:
    found = connection.execute(
        f"select {', '.join(COLUMNS)} from outbox.messages where {condition} order by queued_at, message_id",
        list(values),
    ).fetchall()
    named = (dict(zip(COLUMNS, row, strict=True)) for row in found)
    return [Letter(**{**row, "state": State(row["state"])}) for row in named]


def _save(connection: Connection, letter: Letter) -> None:
    said = asdict(letter) | {"state": letter.state.value}
    stated = ", ".join(f"{name} = ?" for name in said)
    connection.execute(f"update outbox.messages set {stated} where message_id = ?", [*said.values(), letter.message_id])


def _sweep(connection: Connection, folder: Path) -> None:
    """Texts of settled letters are not kept: the page and the workbook are."""
    found = connection.execute("select message_id from outbox.messages where state in ('sent', 'unsure')").fetchall()
    settled = {text_path(folder, message_id) for (message_id,) in found}
    for path in settled.intersection(folder.glob("*.eml")):
        path.unlink()


def retry_failed(connection: Connection, now: datetime) -> int:
    """Queue every failed letter again, with all its attempts; returns how many. The server never took any of them."""
    found = connection.execute(
        "update outbox.messages set state = 'queued', attempts = 0, next_attempt_at = ? "
        "where state = 'failed' and unanswered_count = 0 returning message_id",
        [now],
    ).fetchall()
    return len(found)


def any_waits(connection: Connection) -> bool:
    """Whether a letter is not settled; false in a warehouse that has no outbox yet."""
    stands = connection.execute("select count(*) from information_schema.tables where table_schema = 'outbox'")
    if not stands.fetchall()[0][0]:
        return False
    found = connection.execute("select count(*) from outbox.messages where state in ('queued', 'sending')").fetchall()
    return bool(found[0][0])


def next_attempt(connection: Connection) -> datetime | None:
    """When the next letter is due; None where none waits. The one calendar of attempts is in models/mailing.py."""
    if not any_waits(connection):
        return None
    query = "select min(next_attempt_at) from outbox.messages where state in ('queued', 'sending')"
    return connection.execute(query).fetchall()[0][0]  # type: ignore[no-any-return]


def listed(connection: Connection) -> pd.DataFrame:
    """Every letter: report, edition, recipient, state, attempts, next_attempt_at, sent_at, last_error; newest first."""
    return connection.execute(
        "select report, edition, recipient, state, attempts, next_attempt_at, sent_at, last_error "
        "from outbox.messages order by queued_at desc, recipient"
    ).df()
