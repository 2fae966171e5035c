"""A delivery taken back: its rows go to history, and what the other deliveries say stands as if it had never come.

What stands for a key is what the last delivery said of it that is not withdrawn. A row that changed nothing when it was
imported is not stored, yet it counts here: such rows are read from the archive once more.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from models.errors import IntakeError, NotFoundError
from models.reference import RECORDS
from pipelines.intake.archive import entries, entry_hashes, write_withdrawal
from pipelines.intake.deliveries import next_id, shop_time
from pipelines.intake.record_keys import same_key
from pipelines.intake.restaging import restage
from pipelines.intake.staging import forget
from pipelines.intake.storing import resolve
from pipelines.shop.settings import Settings
from pipelines.shop.warehouse import Connection, count_of, transaction, writing

# The archive's entries of these deliveries, in their order.
Reader = Callable[[Sequence[int]], Sequence[dict[str, Any]]]
STANDING = "delivery_id not in (select delivery_id from intake.withdrawals)"


@dataclass(frozen=True)
class Withdrawal:
    """What a withdrawal did. taken_back_count: rows that were current and went to history.

    restored_count: keys of these for which an earlier or equal row of another delivery is current now. closed_count:
    its rejected rows that were open. reopened_count: rejected rows that it alone had answered.
    """

    withdrawal_id: int
    delivery_id: int
    file_name: str
    taken_back_count: int
    restored_count: int
    closed_count: int
    reopened_count: int


def withdraw(settings: Settings, delivery_id: int, *, now: datetime) -> Withdrawal:
    """Take back a delivery in one transaction; the next build makes everything.

    Raises NotFoundError for an unknown number, IntakeError where it is withdrawn already, ArchiveError where the
    archive lacks a file that is needed, WarehouseBusyError.
    """
    with writing(settings, "intake --withdraw") as connection:
        _refuse_wrong(connection, delivery_id)
        hashes = entry_hashes(connection)
        with transaction(connection):
            number = next_id(connection)
            done = take_back(
                connection,
                settings,
                number,
                delivery_id,
                shop_time(settings, now),
                lambda numbers: entries(settings, {each: hashes[each] for each in numbers}),
            )
            write_withdrawal(connection, settings, number)
        return done


def _refuse_wrong(connection: Connection, delivery_id: int) -> None:
    where = f"delivery {delivery_id}"
    nothing, listed = "this withdrawal; nothing was changed", "`dunnage intake --list` shows every delivery's number"
    if not connection.execute("select 1 from intake.deliveries where delivery_id = ?", [delivery_id]).fetchall():
        raise NotFoundError(where, "is not in the warehouse", nothing, listed)
    if found := connection.execute(
        "select withdrawn_at from intake.withdrawals where delivery_id = ?", [delivery_id]
    ).fetchall():
        then = "take its file in again if its rows are wanted: `dunnage intake FILE`"
        raise IntakeError(where, f"was withdrawn already, on {found[0][0]:%Y-%m-%d}", nothing, then)


def take_back(
    connection: Connection, settings: Settings, number: int, delivery_id: int, withdrawn_at: datetime, read: Reader
) -> Withdrawal:
    """Withdraw within the caller's transaction, under this number. Raises IntakeError where a row got lost."""
    asked = "select kind, file_name from intake.deliveries where delivery_id = ?"
    kind, file_name = connection.execute(asked, [delivery_id]).fetchall()[0]
    connection.execute("insert into intake.withdrawals values (?, ?, ?, 0, 0)", [number, delivery_id, withdrawn_at])
    taken = _to_history(connection, kind, delivery_id, number)
    closed = count_of(
        connection,
        f"update rejected.rows set resolved_by = {number} where delivery_id = {delivery_id} and resolved_by is null",
    )
    reopened = count_of(
        connection, f"update rejected.rows set resolved_by = null where resolved_by = {delivery_id} and {STANDING}"
    )
    reopened -= _ask_others(connection, settings, kind, delivery_id, read, has_reopened=reopened > 0)
    restored = _bring_back(connection, kind)
    connection.execute(
        f"update intake.withdrawals set taken_back_count = {taken}, restored_count = {restored} "
        f"where withdrawal_id = {number}"
    )
    # What came since the last build no longer tells what changed: the next one makes everything.
    connection.execute("delete from intake.builds")
    return Withdrawal(number, delivery_id, file_name, taken, restored, closed, reopened)


def _to_history(connection: Connection, kind: str, delivery_id: int, number: int) -> int:
    """Move the delivery's current rows; `taken` holds their keys, `said` what other deliveries stored of these."""
    columns, keys = ", ".join(RECORDS[kind].columns), ", ".join(RECORDS[kind].key)
    own = f"from accepted.{kind} where delivery_id = {delivery_id}"
    connection.execute(f"create or replace temp table taken as select {keys} {own}")
    moved = count_of(
        connection,
        f"insert into superseded.{kind} by name select {columns}, delivery_id, row_number, "
        f"cast({number} as integer) as superseded_by {own}",
    )
    _refuse_loss(moved, count_of(connection, f"delete {own}"))
    listed = ", ".join(f"r.{name}" for name in RECORDS[kind].columns)
    connection.execute(
        f"create or replace temp table said as select {listed}, delivery_id, row_number, true as is_stored "
        f"from superseded.{kind} as r semi join taken as t on {same_key(kind, 'r', 't')} where {STANDING}"
    )
    return moved


def _ask_others(
    connection: Connection, settings: Settings, kind: str, delivery_id: int, read: Reader, *, has_reopened: bool
) -> int:
    """Add to `said` what the archive alone knows; returns how many rejections later deliveries answer as well."""
    columns = ", ".join(f"r.{name}" for name in RECORDS[kind].columns)
    has_taken = bool(connection.execute("select 1 from taken limit 1").fetchall())
    numbers = connection.execute(
        f"select delivery_id from intake.deliveries where kind = ? and {STANDING} and "
        "((unchanged_count > 0 and ?) or (delivery_id > ? and ?)) order by delivery_id",
        [kind, has_taken, delivery_id, has_reopened],
    ).fetchall()
    answered = 0
    for entry in read([int(row[0]) for row in numbers]):
        restaged, other = restage(connection, settings, entry), int(entry["delivery"]["delivery_id"])
        connection.execute(
            f"insert into said by name select {columns}, {other} as delivery_id, row_number, false as is_stored "
            f"from staged as r semi join taken as t on {same_key(kind, 'r', 't')} where not is_broken"
        )
        if other > delivery_id and has_reopened:
            answered += resolve(connection, kind, restaged.source.name, other)
        forget(connection, restaged.staged.looked_up)
    return answered


def _bring_back(connection: Connection, kind: str) -> int:
    """Make current, for each key of `taken`, what was said last; returns how many rows that are."""
    columns, keys = ", ".join(RECORDS[kind].columns), ", ".join(RECORDS[kind].key)
    connection.execute(
        f"create or replace temp table newest as select * from said qualify row_number() over (partition by {keys} "
        "order by delivery_id desc, row_number desc, is_stored desc) = 1"
    )
    restored = count_of(
        connection, f"insert into accepted.{kind} by name select {columns}, delivery_id, row_number from newest"
    )
    moved = count_of(
        connection,
        f"delete from superseded.{kind} where (delivery_id, row_number) in "
        "(select (delivery_id, row_number) from newest where is_stored)",
    )
    # A row that changed nothing when it came is one of the accepted now.
    connection.execute(
        "update intake.deliveries as d set accepted_count = accepted_count + n.rows, "
        "unchanged_count = unchanged_count - n.rows from (select delivery_id, count(*) as rows from newest "
        "where not is_stored group by delivery_id) as n where n.delivery_id = d.delivery_id"
    )
    _refuse_loss(restored, moved + count_of(connection, "select count(*) from newest where not is_stored"))
    for name in ("taken", "said", "newest"):
        connection.execute(f"drop table {name}")
    return restored


def _refuse_loss(rows_in: int, rows_out: int) -> None:
    if rows_in != rows_out:
        raise IntakeError(
            "withdrawal",
            f"{rows_in} rows came in, but {rows_out} went out",
            "this withdrawal; nothing was changed",
            "report this with the list of deliveries: rows must never get lost",
        )
