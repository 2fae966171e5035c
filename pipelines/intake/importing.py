"""Source files into the warehouse: found, unpacked, archived, typed, checked and imported, one transaction each."""

import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from models.errors import DunnageError
from pipelines.intake.archive import archive, write_entry
from pipelines.intake.archive_entries import origin
from pipelines.intake.columns import Layout, lay_out
from pipelines.intake.deliveries import Delivery, enter, imported, known_delivery, next_id, shop_time
from pipelines.intake.held_invoices import refuse_other_parcels
from pipelines.intake.held_units import refuse_other_units
from pipelines.intake.joining import Companion, companions, is_companion, with_companions
from pipelines.intake.mapped_tables import as_mapped
from pipelines.intake.reading.archive_notes import notes_of, texts_of
from pipelines.intake.reading.finding import Candidate, Content, PassedOver, refuse_taken_twice, seek, unpack
from pipelines.intake.reading.opening import expect
from pipelines.intake.reading.tables import ShapeError, source_error
from pipelines.intake.rejecting import place_lines, reject, shift_of
from pipelines.intake.staging import Staged, forget, stage
from pipelines.intake.storing import store
from pipelines.intake.units import refuse_unknown_units, with_header_units, with_units_stated
from pipelines.shop import durable
from pipelines.shop.settings import Settings, Source
from pipelines.shop.warehouse import Connection, EngineError, transaction, writing

__all__ = ["Delivery", "import_files"]

# The file that is begun, and the share of files that are done.
Progress = Callable[[str, float], None]


@dataclass(frozen=True)
class Asked:
    """When and how files are taken in. again: known content too. units: contract column -> unit, for these files."""

    now: datetime
    again: bool = False
    units: Mapping[str, str] = field(default_factory=dict)


def import_files(
    settings: Settings,
    paths: Sequence[Path] | None = None,
    *,
    now: datetime,
    source: str | None = None,
    again: bool = False,
    units: Mapping[str, str] | None = None,
    progress: Progress | None = None,
    connection: Connection | None = None,
) -> list[Delivery]:
    """Take in files, by default those in the shop's inbox, and say what became of each.

    source: the one source to read the files as; by default each source whose `files` matches. again: land content
    imported before once more, after the column map was corrected. units: of these files' columns, stated
    for this time; what was stated is not doubted. A file that cannot be read is reported in its
    Delivery and harms no other. connection: one that is open for writing already. Raises WarehouseBusyError,
    WarehouseError, NotFoundError.
    """
    asked = Asked(now, again, units or {})
    with nullcontext(connection) if connection else writing(settings, "intake") as warehouse:
        return _all_imported(warehouse, settings, paths, source, asked, progress)


def _all_imported(
    connection: Connection,
    settings: Settings,
    paths: Sequence[Path] | None,
    source: str | None,
    asked: Asked,
    progress: Progress | None,
) -> list[Delivery]:
    deliveries: list[Delivery] = []
    found = seek(settings, paths, source)
    for each in found:
        if isinstance(each, Candidate):
            refuse_unknown_units(each.sources, asked.units)
    expect(source for each in found if isinstance(each, Candidate) for source in each.sources)
    for place, candidate in enumerate(found):
        if isinstance(candidate, DunnageError):
            deliveries.append(Delivery(candidate.where, error=candidate))
            continue
        if isinstance(candidate, PassedOver):
            deliveries.append(Delivery(candidate.name, notes=(candidate.reason,)))
            continue
        if progress:
            progress(candidate.name, place / len(found))
        deliveries.extend(_imported(connection, settings, candidate, asked, is_asked=paths is not None))
    return deliveries


def _imported(
    connection: Connection, settings: Settings, candidate: Candidate, asked: Asked, *, is_asked: bool
) -> Iterator[Delivery]:
    if not candidate.sources:
        yield _unmatched(settings, candidate, is_asked)
        return
    with _scratch(settings) as scratch:
        try:
            refuse_taken_twice(candidate)
            content = unpack(candidate, scratch, settings.reading)
        except Exception as broken:
            yield Delivery(candidate.name, error=_refusal(candidate.name, broken))
            return
        for source in candidate.sources:
            yield _delivered(connection, settings, source, candidate.path, content, scratch, asked)


def _unmatched(settings: Settings, candidate: Candidate, is_asked: bool) -> Delivery:
    if owner := is_companion(settings.sources, candidate.name):
        return Delivery(candidate.name, notes=(f"read together with the files of source {owner!r}",))
    what = "matches the `files` of no source"
    then = "map it with `dunnage map FILE --write`, or name the source with --source"
    if is_asked:
        return Delivery(candidate.name, error=source_error(candidate.name, what, then))
    return Delivery(candidate.name, notes=(f"left alone, since it {what}; {then}",))


@contextmanager
def _scratch(settings: Settings) -> Iterator[Path]:
    """A folder for unpacked and transcoded files. Only one run writes."""
    with durable.passing_folder(settings.folder / ".intake") as folder:
        yield Path(tempfile.mkdtemp(dir=folder))


def _delivered(
    connection: Connection,
    settings: Settings,
    source: Source,
    path: Path,
    content: Content,
    scratch: Path,
    asked: Asked,
) -> Delivery:
    try:
        beside = companions(source, path, content.name, scratch, settings.reading)
        content = with_companions(content, beside)
        known = None if asked.again else known_delivery(connection, content, source)
        return known or _landed(connection, settings, source, content, beside, scratch, asked)
    except Exception as broken:
        refused = _refusal(content.name, broken)
        return Delivery(content.name, source.name, source.kind, content_hash=content.content_hash, error=refused)


def _refusal(name: str, broken: Exception) -> DunnageError:
    """Whatever goes wrong inside a file is its refusal; what goes wrong with the machine is raised."""
    if isinstance(broken, OSError):
        raise broken
    if isinstance(broken, DunnageError):
        return broken
    said = next(iter(str(broken).splitlines()), "")
    if isinstance(broken, ShapeError):
        return source_error(name, said)
    kind = "" if isinstance(broken, EngineError) else f"{type(broken).__name__}: "
    return source_error(name, f"could not be imported: {kind}{said[:500]}")


@contextmanager
def _nothing_kept_of_refused(connection: Connection, archived: Path) -> Iterator[None]:
    try:
        yield
    except DunnageError:
        archived.unlink()
        forget(connection)
        raise


def _staged(
    connection: Connection, source: Source, content: Content, layout: Layout, archived: Path, asked: Asked
) -> Staged:
    with origin(archived) as rows:
        staged = stage(
            connection, source, layout, rows, content.name, as_texts=texts_of(archived), notes=notes_of(archived)
        )
        right = {name for name, said in source.columns.items() if said.unit_is_right}
        where = f"{content.name} (source {source.name!r})"
        refuse_other_units(connection, source.kind, layout, where, right.union(asked.units))
    reject(connection, source, layout, staged)
    return staged


def _landed(
    connection: Connection,
    settings: Settings,
    source: Source,
    content: Content,
    beside: Sequence[Companion],
    scratch: Path,
    asked: Asked,
) -> Delivery:
    source = with_header_units(with_units_stated(source, asked.units))
    table = as_mapped(settings, source, content, beside, scratch)
    laid_out = lay_out(settings, source, table, content.name)
    layout = replace(laid_out, imported_on=shop_time(settings, asked.now).date())
    archived, remarks = archive(connection, settings, source, content, table, layout, scratch)
    with _nothing_kept_of_refused(connection, archived):
        staged = _staged(connection, source, content, layout, archived, asked)
        place_lines(connection, table, staged)
        with transaction(connection):
            delivery_id = next_id(connection)
            counts = store(connection, source.name, staged, delivery_id)
            if counts.corrected and source.kind == "charges":
                refuse_other_parcels(connection, source, content, delivery_id)
            enter(connection, settings, source, content, layout, counts, delivery_id, asked.now)
            write_entry(connection, settings, source, layout, archived, delivery_id, shift_of(table))
    forget(connection, staged.looked_up)
    return imported(source, content, layout, staged, counts, delivery_id, remarks)
