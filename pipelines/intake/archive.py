"""The archive: what was read of each file, under the hash of the whole file, before anything of it is imported.

An archived file is Parquet: the mapped columns, as text, row by row, with e-mail addresses and phone numbers blanked,
and in remarks what they repeat of the row's personal columns. The columns are numbered; their headers stand in the
entry of the delivery. Columns that no source maps are not archived: buyers' names and streets among them cannot all be
recognised, so nothing is kept that is not used. The original file stays where the shop keeps it.

Beside it lies an entry per delivery: the file's row of intake.deliveries, the hash of the archived file, and the column
map as it then was. A withdrawal has an entry too, by a number of its own. Files and entries alone give the whole
history again (pipelines/intake/replaying.py).
"""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from models.errors import ArchiveError
from pipelines.intake.archive_entries import entry_path
from pipelines.intake.columns import Layout
from pipelines.intake.deliveries import has_withdrawals, next_id
from pipelines.intake.reading.finding import Content
from pipelines.intake.reading.tables import Table
from pipelines.intake.remarks import Remarks, clear_remarks
from pipelines.shop import durable
from pipelines.shop.settings import Settings, Source
from pipelines.shop.warehouse import Connection


def archive(
    connection: Connection,
    settings: Settings,
    source: Source,
    content: Content,
    table: Table,
    layout: Layout,
    scratch: Path,
) -> tuple[Path, Remarks]:
    """Write the archived file in the scratch folder, then move it in one step. Only its owner may read it.

    Returns it with what was noticed in its remarks.

    The engine writes beside its target under a name of its own; in the scratch folder nothing of a killed run stays.
    """
    target = settings.path("archive") / _name(connection, source, content)
    fresh = scratch / "rows.parquet"
    table.copy(connection, layout.kept, fresh)
    remarks = clear_remarks(connection, table, layout, fresh)
    fresh.chmod(0o600)
    return durable.move(fresh, target), remarks  # the archive may lie on another disk


def _name(connection: Connection, source: Source, content: Content) -> str:
    """A content that is imported again, by a corrected map, has a file of its own: the first one is history."""
    known = connection.execute(
        "select 1 from intake.deliveries where content_hash = ? and source_name = ?",
        [content.content_hash, source.name],
    ).fetchall()
    again = f"-{next_id(connection)}" if known else ""
    return f"{content.content_hash}-{source.name}{again}.parquet"


def write_entry(
    connection: Connection,
    settings: Settings,
    source: Source,
    layout: Layout,
    archived: Path,
    delivery_id: int,
    line_shift: int | None = None,
) -> None:
    """Write the entry of a delivery, within its transaction: one that is rolled back leaves an entry that is replaced
    by that of the next delivery, which has the same number.

    line_shift: lines above the first row of a file whose rows are lines.
    """
    entry = {
        "delivery": _row(connection, "select * from intake.deliveries where delivery_id = ?", delivery_id),
        "file": archived.name,
        "file_hash": durable.file_hash(archived),
        "source": asdict(source),
        # Until November 2026 a measure without a stated unit was taken in the contract's own.
        "needs_units": True,
        # Until November 2026 sides out of order were rejected.
        "is_sorted": True,
        # Until November 2026 several numbers of labels in one cell were one number.
        "is_parted": True,
        # Until November 2026 every row of the bench log had a sale line, day, carrier and service.
        "is_marked": True,
        # Until November 2026 days to come were taken, too.
        "imported_on": layout.imported_on,
        "headers": [column.header for column in layout.kept],
        "currency": settings.shop.currency,
        "time_zone": settings.shop.time_zone,
        "line_shift": line_shift,
        # The archived file has no lines where the engine read the source; they are found in the original only.
        "lines": connection.execute(
            "select row_number, line_number from refused where line_number is not null order by row_number"
        ).fetchall(),
    }
    _write(connection, settings, delivery_id, entry)


def write_withdrawal(connection: Connection, settings: Settings, withdrawal_id: int) -> None:
    """Write the entry of a withdrawal, within its transaction."""
    asked = "select * from intake.withdrawals where withdrawal_id = ?"
    _write(connection, settings, withdrawal_id, {"withdrawal": _row(connection, asked, withdrawal_id)})


def _write(connection: Connection, settings: Settings, number: int, entry: Mapping[str, Any]) -> None:
    text = json.dumps(entry, ensure_ascii=False, default=str).encode()
    durable.write(entry_path(settings, number), text)
    connection.execute("insert into intake.archived values (?, ?)", [number, hashlib.sha256(text).hexdigest()])


def _row(connection: Connection, asked: str, number: int) -> dict[str, Any]:
    found = connection.execute(asked, [number])
    return dict(zip((column[0] for column in found.description), found.fetchall()[0], strict=True))


def entry_hashes(connection: Connection) -> dict[int, str | None]:
    """Number of each delivery and withdrawal -> its entry's hash; None where the warehouse does not know it."""
    numbers = "select delivery_id from intake.deliveries"
    if has_withdrawals(connection):
        numbers += " union all select withdrawal_id from intake.withdrawals"
    asked = (
        f"select d.delivery_id, a.entry_hash from ({numbers}) as d left join intake.archived as a using (delivery_id)"
    )
    return dict(connection.execute(asked).fetchall())


def entries(settings: Settings, hashes: Mapping[int, str | None]) -> list[dict[str, Any]]:
    """The entries of these deliveries and withdrawals in their order, each held to its hash (None: not known), as is
    its file.

    Raises ArchiveError that names what is missing or altered.
    """
    found, wrong = [], []
    for delivery_id, stated in sorted(hashes.items()):
        entry, reasons = _entry(settings, entry_path(settings, delivery_id), stated)
        found.append(entry)
        wrong += reasons
    if wrong:
        raise ArchiveError(
            str(settings.path("archive")),
            "; ".join(wrong[:5]) + (f"; and {len(wrong) - 5} more" if len(wrong) > 5 else ""),
            "the history of these deliveries; the warehouse itself is as it was",
            "take those files from a backup (`dunnage restore` into a folder of its own)",
        )
    return found


def _entry(settings: Settings, path: Path, stated: str | None) -> tuple[dict[str, Any], list[str]]:
    if not path.exists():
        return {}, [f"{path.name} is missing"]
    text = path.read_bytes()
    if stated is not None and hashlib.sha256(text).hexdigest() != stated:
        return {}, [f"{path.name} was altered"]
    try:
        entry: dict[str, Any] = json.loads(text)
        if "withdrawal" in entry:
            return entry, []
        archived = settings.path("archive") / Path(entry["file"]).name
        if not archived.exists():
            return entry, [f"{archived.name} is missing"]
        return entry, [f"{archived.name} was altered"] if durable.file_hash(archived) != entry["file_hash"] else []
    except (ValueError, KeyError, TypeError):
        return {}, [f"{path.name} was altered"]
