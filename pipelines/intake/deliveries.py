"""What became of one file, and its entry in intake.deliveries."""

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from models.errors import DunnageError
from models.sql_texts import sql_texts
from models.visible import counted
from pipelines.intake.columns import Layout
from pipelines.intake.reading.finding import Content
from pipelines.intake.remarks import Remarks
from pipelines.intake.staging import Staged
from pipelines.intake.storing import Counts
from pipelines.shop.settings import Settings, Source
from pipelines.shop.warehouse import Connection, count_of, has_table


@dataclass(frozen=True)
class Delivery:
    """One file and one source. rows = accepted + unchanged + rejected; corrected rows are among the accepted.

    is_known: the same content had been imported before, as `delivery_id`; nothing was done. error: why the file was
    refused as a whole; then nothing of it was kept. dropped: personal columns with what they seem to hold.
    """

    file_name: str
    source_name: str = ""
    kind: str = ""
    delivery_id: int | None = None
    content_hash: str = ""
    row_count: int = 0
    accepted_count: int = 0
    corrected_count: int = 0
    unchanged_count: int = 0
    rejected_count: int = 0
    resolved_count: int = 0
    is_known: bool = False
    dropped: dict[str, str] = field(default_factory=dict)
    ignored: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    error: DunnageError | None = None


def known_delivery(connection: Connection, content: Content, source: Source) -> Delivery | None:
    """The delivery by which this content was imported from this source, if it was and was not withdrawn."""
    found = connection.execute(
        "select delivery_id, file_name from intake.deliveries where content_hash = ? and source_name = ? "
        "and delivery_id not in (select delivery_id from intake.withdrawals) order by delivery_id desc limit 1",
        [content.content_hash, source.name],
    ).fetchall()
    if not found:
        return None
    note = f"the same content was imported as {found[0][1]}, delivery {found[0][0]}; nothing was done"
    return Delivery(
        content.name, source.name, source.kind, int(found[0][0]), content.content_hash, is_known=True, notes=(note,)
    )


def imported(
    source: Source, content: Content, layout: Layout, staged: Staged, counts: Counts, delivery_id: int, remarks: Remarks
) -> Delivery:
    """What became of a file that was imported."""
    return Delivery(
        content.name,
        source.name,
        source.kind,
        delivery_id,
        content.content_hash,
        counts.rows,
        counts.accepted,
        counts.corrected,
        counts.unchanged,
        counts.rejected,
        counts.resolved,
        dropped=layout.dropped,
        ignored=layout.ignored,
        notes=(*_notes(staged), *remarks.notes()),
    )


def _notes(staged: Staged) -> Iterator[str]:
    yield from staged.notes
    if staged.repaired_count:
        yield f"read as written: {counted(staged.repaired_count, 'row')} with quote marks in a cell; see the archive"
    if staged.unsorted_count:
        yield f"in {counted(staged.unsorted_count, 'row')} the sides were sorted, the longest first"
    if staged.row_count == 0:
        yield "holds a header and no rows"
    if staged.blank_count:
        yield f"passed over: {counted(staged.blank_count, 'blank row')}"
    if staged.blanked_count:
        yield f"in {counted(staged.blanked_count, 'row')} an e-mail address, phone number, name or street was blanked"


def next_id(connection: Connection) -> int:
    """The number of the next delivery or withdrawal."""
    return count_of(connection, sql_texts("queries")["last_number"]) + 1


def has_withdrawals(connection: Connection) -> bool:
    """Whether the warehouse knows of withdrawals: a copy for readers that an older version published does not."""
    return has_table(connection, "intake.withdrawals")


def shop_time(settings: Settings, now: datetime) -> datetime:
    """The instant on the shop's clock; one without a zone is there already."""
    return now.astimezone(ZoneInfo(settings.shop.time_zone)).replace(tzinfo=None) if now.tzinfo else now


def enter(
    connection: Connection,
    settings: Settings,
    source: Source,
    content: Content,
    layout: Layout,
    counts: Counts,
    delivery_id: int,
    now: datetime,
) -> None:
    """Write the entry. An instant with a zone is brought to the shop's."""
    connection.execute(
        "insert into intake.deliveries values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [
            delivery_id,
            source.name,
            source.kind,
            content.name,
            content.content_hash,
            content.byte_count,
            shop_time(settings, now),
            counts.rows,
            counts.accepted,
            counts.corrected,
            counts.unchanged,
            counts.rejected,
            json.dumps(layout.dropped, ensure_ascii=False),
        ],
    )


def listed(connection: Connection) -> list[tuple[Any, ...]]:
    """The latest delivery first: number, file, source, when imported, rows, accepted, rejected, when withdrawn."""
    knows = has_withdrawals(connection)
    withdrawn = "w.withdrawn_at" if knows else "cast(null as timestamp)"
    joined = "left join intake.withdrawals as w on w.delivery_id = d.delivery_id" if knows else ""
    return connection.execute(
        "select d.delivery_id, d.file_name, d.source_name, d.landed_at, d.row_count, d.accepted_count, "
        f"d.rejected_count, {withdrawn} from intake.deliveries as d {joined} order by d.delivery_id desc"
    ).fetchall()
