"""The archive: what was read of each file, under the hash of the whole file, before anything of it is landed.

An archived file is Parquet: the mapped columns, as text under the source's own headers, row by row, with e-mail
addresses and phone numbers blanked. Columns that no source maps are not archived: buyers' names and streets among them
cannot all be recognised, so nothing is kept that is not used. The original file stays where the shop keeps it.
"""

from __future__ import annotations

from pathlib import Path

from pipelines.intake.columns import Layout
from pipelines.intake.finding import Content
from pipelines.intake.tables import Table
from pipelines.settings import Settings, Source
from pipelines.warehouse import Connection


def archive(
    connection: Connection, settings: Settings, source: Source, content: Content, table: Table, layout: Layout
) -> Path:
    """Write the archived file under a temporary name, then rename it. Only its owner may read it."""
    folder = settings.path("archive")
    target = folder / f"{content.content_hash}-{source.name}.parquet"
    fresh = target.with_suffix(".writing")
    fresh.unlink(missing_ok=True)
    fresh.touch(mode=0o600)
    table.copy(connection, layout.kept, fresh)
    fresh.chmod(0o600)
    fresh.replace(target)
    return target
