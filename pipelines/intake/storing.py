"""Typed rows into the warehouse: new, unchanged, corrected. Every row of a delivery is counted exactly once.

The rows of a delivery are applied in their order. A row equal to the row then current for its key changes nothing; any
other becomes the current one, and the one it replaces goes to history with the delivery that replaced it.
"""

from dataclasses import dataclass

import pyarrow as pa

from models.errors import IntakeError
from models.reference import RECORDS
from models.sql_quoting import literal
from pipelines.intake.record_keys import key_text, same_key
from pipelines.intake.staging import Staged
from pipelines.shop import repeats
from pipelines.shop.warehouse import Connection, count_of, lent


@dataclass(frozen=True)
class Counts:
    """What became of a delivery's rows. accepted + unchanged + rejected = rows; corrected is a part of accepted.

    resolved: rows rejected earlier that this delivery answers.
    """

    rows: int
    accepted: int
    corrected: int
    unchanged: int
    rejected: int
    resolved: int


def store(connection: Connection, source_name: str, staged: Staged, delivery_id: int) -> Counts:
    """Apply `staged` and `refused` within the caller's transaction. Raises IntakeError where a row got lost."""
    kind = staged.kind
    _sort_out(connection, staged)
    corrected = _replace(connection, staged, delivery_id)
    unchanged = count_of(connection, "select count(*) from verdicts where is_unchanged")
    accepted = staged.row_count - staged.broken_count - unchanged
    stored = _insert(connection, staged, delivery_id)
    resolved = resolve(connection, kind, source_name, delivery_id)
    rejected = count_of(connection, f"insert into rejected.rows by name {_refused(kind, source_name, delivery_id)}")
    counts = Counts(staged.row_count, accepted, corrected, unchanged, rejected, resolved)
    _refuse_loss(counts, stored, staged)
    return counts


def _sort_out(connection: Connection, staged: Staged) -> None:
    """Fill `verdicts`: one row for each good row that is not simply new.

    previous: the row's number in accepted of the row it replaces. is_unchanged: equal to the row then current.
    replaced_by_row: set where a later row of this delivery replaces it again.
    """
    keys = RECORDS[staged.kind].key
    has_repeats = _find_repeats(connection, staged, keys)
    connection.execute(
        "create or replace temp table verdicts "
        "(row_number bigint, previous bigint, is_unchanged boolean, is_replaced boolean)"
    )
    has_history = bool(connection.execute(f"select 1 from accepted.{staged.kind} limit 1").fetchall())
    if has_history:
        connection.execute(f"insert into verdicts {_single_verdicts(staged, keys, has_repeats)}")
    if has_repeats:
        connection.execute(f"insert into verdicts {_repeated_verdicts(staged, keys)}")


def _find_repeats(connection: Connection, staged: Staged, keys: tuple[str, ...]) -> bool:
    """Fill `repeated` with the hashes that several good rows share, and say whether there are any."""
    shared = repeats.shared_hashes(connection, "staged where not is_broken", keys, staged.row_count)
    with lent(connection, "shared", pa.table({"h": shared})):
        connection.execute("create or replace temp table repeated as select h from shared")
    return bool(shared.size)


def _single_verdicts(staged: Staged, keys: tuple[str, ...], has_repeats: bool) -> str:
    """Rows whose key occurs once in the delivery and is in accepted already."""
    others = [name for name in staged.columns if name not in keys]
    same = " and ".join(f"a.{name} is not distinct from s.{name}" for name in others) or "true"
    once = (
        f" and hash({', '.join(f's.{name}' for name in keys)}) not in (select h from repeated)" if has_repeats else ""
    )
    return (
        f"select s.row_number, a.rowid, {same}, false from accepted.{staged.kind} as a "
        f"inner join staged as s on {same_key(staged.kind, 'a', 's')} where not s.is_broken{once}"
    )


def _repeated_verdicts(staged: Staged, keys: tuple[str, ...]) -> str:
    """Rows whose key occurs several times in the delivery, taken in their order after the row accepted so far."""
    listed = ", ".join(staged.columns)
    qualified = ", ".join(f"a.{name}" for name in staged.columns)
    values = ", ".join(f"'{name}': {name}" for name in staged.columns)
    by_key = f"partition by {', '.join(keys)}"
    chosen = f"hash({', '.join(keys)}) in (select h from repeated)"
    return f"""
        select row_number, previous, is_unchanged, is_replaced from (
            select row_number, is_unchanged,
                case when not is_unchanged and place = min(place) filter (not is_unchanged and place > 0)
                    over ({by_key}) then first_value(current_row) over ({by_key} order by place) end as previous,
                not is_unchanged and place < max(place) filter (not is_unchanged) over ({by_key}) as is_replaced,
                place
            from (
                select *, place > 0 and content is not distinct from
                    lag(content) over ({by_key} order by place) and place > min(place) over ({by_key}) as is_unchanged
                from (
                    select {listed}, row_number as place, row_number, null as current_row, {{{values}}} as content
                    from staged where not is_broken and {chosen}
                    union all
                    select {listed}, 0, 0, current_row, {{{values}}} from (
                        select {qualified}, a.rowid as current_row from accepted.{staged.kind} as a where {chosen}
                    )
                )
            )
        ) where place > 0
    """


def _replace(connection: Connection, staged: Staged, delivery_id: int) -> int:
    """Move what this delivery replaces to history; returns how many rows were corrected."""
    listed = ", ".join(staged.columns)
    replaced = "select previous from verdicts where previous is not null and not is_unchanged"
    moved = 0
    if connection.execute(f"{replaced} limit 1").fetchall():
        moved = count_of(
            connection,
            f"insert into superseded.{staged.kind} by name select {listed}, delivery_id, row_number, "
            f"cast({delivery_id} as integer) as superseded_by from accepted.{staged.kind} where rowid in ({replaced})",
        )
        count_of(connection, f"delete from accepted.{staged.kind} where rowid in ({replaced})")
    within = count_of(
        connection,
        f"insert into superseded.{staged.kind} by name select {listed}, cast({delivery_id} as integer) as delivery_id, "
        f"row_number, cast({delivery_id} as integer) as superseded_by from staged "
        "where row_number in (select row_number from verdicts where is_replaced)",
    )
    return moved + within


def _insert(connection: Connection, staged: Staged, delivery_id: int) -> int:
    """The current rows into accepted; returns how many rows of the delivery are now in accepted or history."""
    out = "select row_number from verdicts where is_unchanged or is_replaced"
    condition = f" and row_number not in ({out})" if connection.execute(f"{out} limit 1").fetchall() else ""
    stored = count_of(
        connection,
        f"insert into accepted.{staged.kind} by name select {', '.join(staged.columns)}, "
        f"cast({delivery_id} as integer) as delivery_id, row_number from staged where not is_broken{condition}",
    )
    return stored + count_of(connection, "select count(*) from verdicts where is_replaced")


def resolve(connection: Connection, kind: str, source_name: str, delivery_id: int) -> int:
    """Close earlier rejections answered here: by reference, by a good row of their key, or by being refused again."""
    open_ones = f"select 1 from rejected.rows where kind = '{kind}' and resolved_by is null limit 1"
    if not connection.execute(open_ones).fetchall():
        return 0
    return count_of(
        connection,
        f"""
        update rejected.rows set resolved_by = {delivery_id}
        where kind = ? and resolved_by is null and delivery_id < {delivery_id} and (
            delivery_id || ':' || row_number in (select reject_ref from staged where reject_ref is not null)
            or row_key in (select {key_text(kind)} from staged where not is_broken)
            or (source_name = ? and row_key in (select row_key from refused where row_key is not null))
            or (source_name = ? and source_text in (select source_text from refused))
        )
        """,
        [kind, source_name, source_name],
    )


def _refused(kind: str, source_name: str, delivery_id: int) -> str:
    return (
        f"select cast({delivery_id} as integer) as delivery_id, '{kind}' as kind, "
        f"{literal(source_name)} as source_name, row_number, line_number, source_text, column_name, reason, row_key "
        "from refused"
    )


def _refuse_loss(counts: Counts, stored: int, staged: Staged) -> None:
    if counts.accepted != stored or counts.rejected != staged.broken_count:
        raise IntakeError(
            f"delivery of {staged.kind}",
            f"{counts.rows} rows came in, but {stored} accepted + {counts.unchanged} unchanged + {counts.rejected} "
            "rejected went out",
            "this file; nothing of it was kept",
            "report this with the file's column map: rows must never get lost",
        )
