"""Which files to take in, from which source; unpacking within bounds; the hash that names a content."""

from __future__ import annotations

import gzip
import hashlib
import shutil
import stat
import zipfile
import zlib
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Protocol

from models.errors import NotFoundError, SourceFileError
from models.settings.reading_limits import DEFAULTS, Limits
from pipelines.intake.reading.tables import source_error

if TYPE_CHECKING:
    from pipelines.shop.settings import Settings, Source

EXPORT_NAME = "rejected-{source}"
_CHUNK = 1 << 20
MOST_BYTES = 50_000_000_000


class Readable(Protocol):
    """An opened file that gives at most so many bytes at a time."""

    def read(self, size: int, /) -> bytes: ...


@dataclass(frozen=True)
class Candidate:
    """A file, or one member of a zip file by its number, and the sources whose `files` it matches."""

    path: Path
    member: int | None
    name: str
    sources: tuple[Source, ...]


@dataclass(frozen=True)
class PassedOver:
    """What lies in a folder and is no file, and why it was left alone."""

    name: str
    reason: str


@dataclass(frozen=True)
class Content:
    """A candidate's unpacked content. longest_line: bytes without a line break, to within two megabytes."""

    path: Path
    name: str
    content_hash: str
    byte_count: int
    longest_line: int = 0


Found = Candidate | PassedOver | SourceFileError


def seek(settings: Settings, paths: Sequence[Path] | None, source: str | None) -> list[Found]:
    """The files to take in, ordered by name without suffix so that `x-corrected` comes after `x`.

    Looks into the inbox where `paths` is None. Raises NotFoundError for an unknown source.
    """
    chosen = _chosen(settings, source)
    candidates: list[Found] = []
    for path in [settings.path("inbox")] if paths is None else paths:
        try:
            for each in _files_of(path):
                candidates.extend(_found(each, path, chosen, is_named=source is not None))
        except OSError as closed:
            candidates.append(source_error(shown_name(path), f"cannot be looked into: {closed.strerror}"))
    return candidates


def _found(path: Path, asked: Path, chosen: Sequence[Source], *, is_named: bool) -> Iterator[Found]:
    """What one entry of a folder, or one path that was asked for, has to offer."""
    try:
        if reason := _no_file(path):
            if path == asked:
                raise source_error(shown_name(path), reason, "check the name")
            yield PassedOver(shown_name(path), f"{reason} and was left alone")
            return
        yield from _candidates(path, chosen, is_named=is_named)
    except SourceFileError as broken:
        yield broken


def _no_file(path: Path) -> str | None:
    """Why there is no file of records at this path. It is never opened to find out: a pipe would wait for a writer."""
    try:
        mode = path.stat().st_mode
    except OSError:
        return "is a link that leads nowhere" if path.is_symlink() else "is not there"
    if stat.S_ISREG(mode):
        return None
    return "is a folder" if stat.S_ISDIR(mode) else "is a pipe or a device, not a file"


def shown_name(path: Path) -> str:
    """The file's name as text; bytes of it that are none are written as hexadecimal."""
    return path.name.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")


def _chosen(settings: Settings, source: str | None) -> tuple[Source, ...]:
    chosen = tuple(each for each in settings.sources if source in (None, each.name))
    if source is not None and not chosen:
        known = ", ".join(each.name for each in settings.sources) or "none yet; see `dunnage map`"
        raise NotFoundError(f"source {source!r}", "is not in dunnage.toml", "this command", f"use one of: {known}")
    return chosen


def _files_of(path: Path) -> list[Path]:
    if not path.is_dir():
        return [path]
    # Hidden files and the lock files of office programs are nobody's records.
    listed = [each for each in path.iterdir() if not each.name.startswith((".", "~$"))]
    return sorted(listed, key=lambda each: (each.name.split(".")[0], each.name))


def _candidates(path: Path, sources: Sequence[Source], *, is_named: bool) -> Iterator[Candidate]:
    if shown_name(path) != path.name:
        raise source_error(shown_name(path), "has a name that is not in UTF-8", "rename the file")
    members = list(_members(path))
    times, seen = Counter(name for _, name in members), Counter[str]()
    for member, name in members:
        matching = tuple(sources) if is_named else _takers(name, path, sources)
        seen[name] += 1
        numbered = f"{name} ({seen[name]})" if times[name] > 1 else name
        yield Candidate(path, member, path.name if member is None else f"{path.name}/{numbered}", matching)


def _members(path: Path) -> Iterator[tuple[int | None, str]]:
    """The number and name of each member of a zip file; of another file its own name. Two may have one name."""
    if path.suffix.lower() != ".zip":
        yield None, path.name.removesuffix(".gz").removesuffix(".GZ")
        return
    try:
        with zipfile.ZipFile(path) as packed:
            names = [each.filename for each in packed.infolist()]
    except (zipfile.BadZipFile, OSError, NotImplementedError, ValueError) as broken:
        raise source_error(shown_name(path), f"is a damaged zip file: {broken}") from None
    for number, name in enumerate(names):
        # Only the last part of a member's path is ever used, so that no path can lead out of the folder.
        short = PurePosixPath(name.replace("\\", "/")).name
        is_hidden = short.startswith((".", "~$")) or name.startswith("__MACOSX")
        if short and not is_hidden and not name.endswith("/"):
            yield number, short


def _takers(name: str, path: Path, sources: Sequence[Source]) -> tuple[Source, ...]:
    """The sources that take a file. Rejected rows that come back are only of the source that they were exported of."""
    exported = [each for each in sources if fnmatchcase(name, EXPORT_NAME.format(source=each.name) + "*.csv")]
    if exported:
        return (max(exported, key=lambda each: len(each.name)),)
    names = (name, path.stem + PurePosixPath(name).suffix)
    return tuple(each for each in sources if any(fnmatchcase(each_name, each.files) for each_name in names))


def refuse_taken_twice(candidate: Candidate) -> None:
    """Raises SourceFileError where two sources read the same table as the same kind: its money would count twice."""
    first: dict[tuple[str, str | None], Source] = {}
    for each in candidate.sources:
        other = first.setdefault((each.kind, each.sheet), each)
        if other is not each:
            raise source_error(
                candidate.name,
                f"is taken as {each.kind} by two sources, {other.name!r} ({other.files}) and {each.name!r} "
                f"({each.files}): its rows would count twice",
                f"in dunnage.toml, let the `files` of only one of them match {candidate.name}",
            )


def unpack(candidate: Candidate, scratch: Path, limits: Limits = DEFAULTS) -> Content:
    """The content as a plain file, hashed. Raises SourceFileError for damaged, locked or monstrous archives."""
    plain = scratch / "unpacked"
    try:
        if candidate.member is not None:
            _unpack_member(candidate, candidate.member, plain, limits)
        elif candidate.path.suffix.lower() == ".gz":
            with gzip.open(candidate.path) as opened:
                _copy_bounded(opened, plain, candidate.path.stat().st_size, candidate.name, limits)
        else:
            plain = candidate.path
        return _hashed(plain, candidate.name)
    except (OSError, EOFError, zlib.error, zipfile.BadZipFile, RuntimeError, NotImplementedError) as broken:
        raise source_error(candidate.name, f"cannot be opened: {broken}") from None


def _unpack_member(candidate: Candidate, number: int, plain: Path, limits: Limits) -> None:
    with zipfile.ZipFile(candidate.path) as packed:
        member = packed.infolist()[number]
        with packed.open(member) as opened:
            _copy_bounded(opened, plain, member.compress_size, candidate.name, limits)


def most_unpacked(packed_bytes: int, limits: Limits) -> int:
    """How large a packed file may be unpacked. Text packs 5 to 50 times."""
    return min(max(1_000_000 * limits.free_unpacked_mb, limits.packed_ratio * packed_bytes), MOST_BYTES)


def _copy_bounded(opened: Readable, target: Path, packed_bytes: int, where: str, limits: Limits) -> None:
    room = shutil.disk_usage(target.parent).free // 2
    most = min(most_unpacked(packed_bytes, limits), room)
    written = 0
    with target.open("wb") as out:
        while chunk := opened.read(_CHUNK):
            written += len(chunk)
            if written > most:
                raise source_error(where, f"unpacks to more than {most:,} bytes", "unpack it yourself and look at it")
            out.write(chunk)


def _hashed(path: Path, name: str) -> Content:
    digest = hashlib.sha256()
    size, unbroken, longest = 0, 0, 0
    with path.open("rb") as opened:
        while chunk := opened.read(_CHUNK):
            digest.update(chunk)
            size += len(chunk)
            first, last = _first_break(chunk), max(chunk.rfind(b"\n"), chunk.rfind(b"\r"))
            longest = max(longest, unbroken + first)
            unbroken = unbroken + len(chunk) if last < 0 else len(chunk) - 1 - last
    return Content(path, name, digest.hexdigest(), size, max(longest, unbroken))


def _first_break(chunk: bytes) -> int:
    found = [at for at in (chunk.find(b"\n"), chunk.find(b"\r")) if at >= 0]
    return min(found, default=len(chunk))
