"""A dry run: the whole file through the intake's own readers and checks by a proposed map. Nothing is kept."""

import tempfile
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path

from models.errors import DunnageError
from models.sql_quoting import literal
from pipelines.intake.columns import lay_out
from pipelines.intake.frequent_texts import Rejection, rejections
from pipelines.intake.joining import companions
from pipelines.intake.mapped_tables import as_mapped
from pipelines.intake.mapping import FileProposal
from pipelines.intake.mapping.writing import source_table
from pipelines.intake.reading.archive_notes import texts_of
from pipelines.intake.reading.finding import Candidate, unpack
from pipelines.intake.rejecting import place_lines, reject
from pipelines.intake.remarks import clear_remarks
from pipelines.intake.staging import stage
from pipelines.intake.units import with_header_units
from pipelines.shop import settings as settings_of
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, Source

WORDS = (
    "select carrier, charge_code, count(*), cast(sum(amount_cents) as bigint) from staged "
    "where not is_broken and charge_kind is null group by all"
)


@dataclass(frozen=True)
class Trial:
    """What an import would make of the file. refused: why the file would be refused as a whole.

    words: of an invoice, carrier and word of the lines whose kind no cell states, with their lines and cents.
    """

    row_count: int = 0
    accepted_count: int = 0
    rejections: Sequence[Rejection] = ()
    refused: DunnageError | None = None
    words: Sequence[tuple[str, str, int, int]] = ()


def tried(settings: Settings, proposed: FileProposal) -> Trial:
    """Read, type and check every row of the file, in memory and a scratch folder."""
    try:
        source = settings_of.source(
            source_table(proposed, settings.shop.shown_units).unwrap(), f"the map of {proposed.path.name}"
        )
        with tempfile.TemporaryDirectory() as scratch:
            return _tried(settings, source, proposed.path, Path(scratch))
    except DunnageError as refused:
        return Trial(refused=refused)


def _tried(settings: Settings, source: Source, path: Path, scratch: Path) -> Trial:
    source = with_header_units(source)
    content = unpack(Candidate(path, _member(path), path.name, (source,)), scratch, settings.reading)
    beside = companions(source, path, path.name, scratch, settings.reading)
    table = as_mapped(settings, source, content, beside, scratch)
    today = settings_of.now_at(settings).date()
    layout = replace(lay_out(settings, source, table, content.name), imported_on=today)
    rows = scratch / "rows.parquet"
    # Remarks are cleared by words that the shop's tables hold, so they want tables, if empty ones.
    with warehouse.scratch() if layout.remarks else closing(warehouse.bare()) as connection:
        table.copy(connection, layout.kept, rows)
        clear_remarks(connection, table, layout, rows)
        origin = f"read_parquet({literal(str(rows))}, file_row_number=true)"
        staged = stage(connection, source, layout, origin, content.name, as_texts=texts_of(rows))
        reject(connection, source, layout, staged)
        place_lines(connection, table, staged)
        asked = "select column_name, reason, source_text, coalesce(line_number, row_number) as line from refused"
        found = rejections(connection, asked, layout.headers) if staged.broken_count else []
        words = connection.execute(WORDS).fetchall() if source.kind == "charges" else []
    return Trial(staged.row_count, staged.row_count - staged.broken_count, found, words=words)


def _member(path: Path) -> int | None:
    return 0 if path.suffix.lower() == ".zip" else None


def settings_for(folder: Path | None) -> Settings:
    """The shop's settings; without a dunnage.toml those of a new shop, so that a file can be looked at anywhere."""
    here = folder or Path()
    return settings_of.load(here) if (here / settings_of.FILE_NAME).exists() else Settings(folder=here)
