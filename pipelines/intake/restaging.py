"""A delivery's rows once more, from its archived file, by the column map that it was imported by."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pyarrow.parquet as pq

from pipelines.intake.archive_entries import origin
from pipelines.intake.columns import Layout, lay_out
from pipelines.intake.reading.archive_notes import texts_of
from pipelines.intake.reading.finding import Content
from pipelines.intake.reading.tables import BESIDE, Kept, kept_name, source_error
from pipelines.intake.rejecting import reject
from pipelines.intake.staging import Staged, stage
from pipelines.shop.settings import Settings, Source, source
from pipelines.shop.warehouse import Connection


@dataclass(frozen=True)
class ArchivedFile:
    """An archived file in the place of an opened source file: headers without rows, since nothing is guessed again."""

    headers: tuple[str, ...]
    rows: Sequence[Sequence[str]] = ()

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        raise source_error(str(target), "is archived already")


@dataclass(frozen=True)
class Restaged:
    """What was staged, and by which settings, source and layout of then."""

    settings: Settings
    source: Source
    layout: Layout
    content: Content
    staged: Staged


def restage(connection: Connection, settings: Settings, entry: dict[str, Any]) -> Restaged:
    """Fill `staged` and `refused` from the archive; the caller forgets them. entry: one of archive.entries."""
    delivery, archived = entry["delivery"], settings.path("archive") / entry["file"]
    # By which files it was found then is of no use now, and may be a pattern that is no longer taken.
    said = source(entry["source"] | {"files": archived.name}, f"archived delivery {delivery['delivery_id']}")
    shop = replace(settings.shop, currency=entry["currency"], time_zone=entry["time_zone"])
    then = replace(settings, shop=shop)
    columns = _columns(entry, archived)
    table = ArchivedFile(tuple(columns))
    needs_units = entry.get("needs_units", False)
    laid_out = lay_out(then, said, table, archived.name, needs_units=needs_units)
    then_so = {name: entry.get(name, False) for name in ("is_sorted", "is_parted", "is_marked")}
    imported_on = dt.date.fromisoformat(entry["imported_on"]) if entry.get("imported_on") else None
    layout = replace(laid_out, dropped={}, imported_on=imported_on, **then_so)
    content = Content(archived, delivery["file_name"], delivery["content_hash"], delivery["byte_count"])
    with origin(archived, [columns[column.header] for column in layout.kept]) as rows:
        staged = stage(connection, said, layout, rows, content.name, as_texts=texts_of(archived))
    reject(connection, said, layout, staged)
    return Restaged(then, said, layout, content, staged)


def _columns(entry: dict[str, Any], archived: Path) -> dict[str, str]:
    """Header -> name of its column in the archived file. Until November 2026 that was the header itself."""
    if "headers" in entry:
        return {header: kept_name(number) for number, header in enumerate(entry["headers"])}
    beside = {name for name, _ in BESIDE}
    return {name: name for name in pq.read_schema(archived).names if name not in beside}
