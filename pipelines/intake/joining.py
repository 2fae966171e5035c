"""A source's files with the files that are read together with them: found beside them, opened, and joined."""

import hashlib
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from fnmatch import fnmatchcase, translate
from pathlib import Path

from models.fields import Quantity
from models.reference import RECORDS
from models.settings.reading_limits import Limits
from models.settings.sources import Join
from pipelines.intake.reading.finding import EXPORT_NAME, Candidate, Content, unpack
from pipelines.intake.reading.joined import JoinedTable, Part
from pipelines.intake.reading.opening import opened
from pipelines.intake.reading.tables import Table, source_error
from pipelines.shop.settings import Source

# A price is of one piece, whichever file it stands in; other amounts of a sale are of all its lines together.
_PER_PIECE = frozenset(("item_price_cents",))


@dataclass(frozen=True)
class Companion:
    """A file that is read together with a source's, unpacked."""

    join: Join
    content: Content


def companions(source: Source, path: Path, name: str, scratch: Path, limits: Limits) -> list[Companion]:
    """The files beside `path` that the source joins, for a file of this name.

    Of several, those whose name has the same text where the patterns have `*`, such as a month; else all. Raises
    SourceFileError where there is none.
    """
    found: list[Companion] = []
    for join in source.join if not _is_export(source, name) else ():
        paths = sorted(_matching(join.files, path.parent))
        if not paths:
            raise source_error(name, f"is read together with {join.files}, and there is none beside it", "put it there")
        varied = _varied(source.files, name)
        same = [each for each in paths if varied and _varied(join.files, _bare(each)) == varied]
        for each in same or paths:
            folder = scratch / f"companion-{len(found)}"
            folder.mkdir(exist_ok=True)
            found.append(Companion(join, unpack(Candidate(each, None, each.name, (source,)), folder, limits)))
    return found


def _is_export(source: Source, name: str) -> bool:
    """Whether the file holds rejected rows that come back, which have the columns of all files."""
    return fnmatchcase(name, EXPORT_NAME.format(source=source.name) + "*.csv")


def _matching(pattern: str, folder: Path) -> Iterator[Path]:
    return (each for each in folder.iterdir() if each.is_file() and fnmatchcase(_bare(each), pattern))


def _bare(path: Path) -> str:
    return path.name.removesuffix(".gz")


def _varied(pattern: str, name: str) -> tuple[str, ...]:
    """What stands in the name where the pattern has `*`."""
    found = re.fullmatch(translate(pattern).replace(".*", "(.*)"), name)
    return found.groups() if found else ()


def is_companion(sources: Sequence[Source], name: str) -> str | None:
    """The source whose files this one is read with, if any."""
    return next((each.name for each in sources for join in each.join if fnmatchcase(name, join.files)), None)


def with_companions(content: Content, found: Sequence[Companion]) -> Content:
    """The content, known by what all the files hold together."""
    if not found:
        return content
    together = "".join((content.content_hash, *(each.content.content_hash for each in found)))
    return replace(content, content_hash=hashlib.sha256(together.encode()).hexdigest())


def joined(source: Source, table: Table, found: Sequence[Companion], scratch: Path, limits: Limits) -> Table:
    """The table with its companions. Raises SourceFileError for a key that a file does not have."""
    if not source.join:
        return table
    parts = tuple(_part(source, join, table, found, scratch, limits) for join in source.join)
    whole = JoinedTable(table, parts)
    return replace(whole, once=frozenset(_once(source, whole)))


def _part(source: Source, join: Join, main: Table, found: Sequence[Companion], scratch: Path, limits: Limits) -> Part:
    mine = [each.content for each in found if each.join == join]
    reading = as_source(source, join)
    tables = [opened(reading, content, _folder(scratch, f"{number}"), limits) for number, content in enumerate(mine)]
    there = join.there or join.by
    _refuse_keyless(join.by, main, source.files)
    for content, table in zip(mine, tables, strict=True):
        _refuse_keyless(there, table, content.name)
        if missing := set(tables[0].headers) - set(table.headers):
            raise source_error(content.name, f"has no column {sorted(missing)[0]!r}, which {mine[0].name} has")
    return Part(mine[0].name, tuple(tables), join.by, there)


def _folder(scratch: Path, name: str) -> Path:
    folder = scratch / f"opened-{len(list(scratch.iterdir()))}-{name}"
    folder.mkdir()
    return folder


def _refuse_keyless(header: str, table: Table, name: str) -> None:
    if header not in table.headers:
        raise source_error(name, f"has no column {header!r}, by which files are joined", "correct `join` in the map")


def as_source(source: Source, join: Join) -> Source:
    """How the joined files are read, as a source of their own without columns."""
    own = {each.name: getattr(join, each.name) for each in fields(Join) if each.name not in ("by", "there")}
    return replace(source, columns={}, join=(), **own)


def _once(source: Source, whole: JoinedTable) -> Iterator[str]:
    """Headers of amounts of a whole sale: from a file that is joined by the sale's number."""
    columns = RECORDS[source.kind].columns
    sale = source.columns.get("sale_id")
    starts = whole.starts()
    for part, begin, end in zip(whole.parts, starts, starts[1:], strict=False):
        own = whole.headers[begin:end]
        for name, said in source.columns.items():
            is_amount = columns[name].quantity is Quantity.MONEY and name not in _PER_PIECE
            if sale is not None and sale.column == part.by and said.column in own and is_amount:
                yield str(said.column)
