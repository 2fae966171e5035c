"""Which files to take in, from which source; unpacking within bounds; the hash that names a content."""

from __future__ import annotations

import gzip
import hashlib
import shutil
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase
from pathlib import Path, PurePosixPath
from typing import Protocol

from models.errors import NotFoundError, SourceFileError
from pipelines.reading.tables import source_error
from pipelines.settings import Settings, Source

EXPORT_NAME = "rejected-{source}"
_CHUNK = 1 << 20
# A packed file larger than this must not have been packed better than this: text packs 5 to 50 times.
SMALL_BYTES, MOST_RATIO, MOST_BYTES = 100_000_000, 200, 50_000_000_000


class Readable(Protocol):
    """An opened file that gives at most so many bytes at a time."""

    def read(self, size: int, /) -> bytes: ...


@dataclass(frozen=True)
class Candidate:
    """A file, or one member of a zip file, and the sources whose `files` it matches."""

    path: Path
    member: str | None
    name: str
    sources: tuple[Source, ...]


@dataclass(frozen=True)
class Content:
    """A candidate's unpacked content."""

    path: Path
    name: str
    content_hash: str
    byte_count: int


def seek(settings: Settings, paths: Sequence[Path] | None, source: str | None) -> list[Candidate | SourceFileError]:
    """The files to take in, ordered by name without suffix so that `x-corrected` comes after `x`.

    Looks into the inbox where `paths` is None. Raises NotFoundError for an unknown source.
    """
    chosen = _chosen(settings, source)
    found = _inbox(settings) if paths is None else [each for path in paths for each in _files_of(path)]
    candidates: list[Candidate | SourceFileError] = []
    for path in found:
        try:
            candidates.extend(_candidates(path, chosen, is_named=source is not None))
        except SourceFileError as broken:
            candidates.append(broken)
    return candidates


def _chosen(settings: Settings, source: str | None) -> tuple[Source, ...]:
    chosen = tuple(each for each in settings.sources if source in (None, each.name))
    if source is not None and not chosen:
        known = ", ".join(each.name for each in settings.sources) or "none yet; see `dunnage map`"
        raise NotFoundError(f"source {source!r}", "is not in dunnage.toml", "this command", f"use one of: {known}")
    return chosen


def _inbox(settings: Settings) -> list[Path]:
    return _files_of(settings.path("inbox"))


def _files_of(path: Path) -> list[Path]:
    if not path.is_dir():
        return [path]
    # Hidden files and the lock files of office programs are nobody's records.
    listed = [each for each in path.iterdir() if each.is_file() and not each.name.startswith((".", "~$"))]
    return sorted(listed, key=lambda each: (each.name.split(".")[0], each.name))


def _candidates(path: Path, sources: Sequence[Source], *, is_named: bool) -> Iterator[Candidate]:
    if not path.is_file():
        raise source_error(str(path), "is not there", "check the name")
    for member, name in _members(path):
        matching = tuple(each for each in sources if is_named or _matches(name, path, each))
        shown = path.name if member is None else f"{path.name}/{name}"
        yield Candidate(path, member, shown, matching)


def _members(path: Path) -> Iterator[tuple[str | None, str]]:
    if path.suffix.lower() != ".zip":
        yield None, path.name.removesuffix(".gz").removesuffix(".GZ")
        return
    try:
        with zipfile.ZipFile(path) as packed:
            names = [each.filename for each in packed.infolist() if not each.is_dir()]
    except (zipfile.BadZipFile, OSError, NotImplementedError) as broken:
        raise source_error(str(path), f"is a damaged zip file: {broken}") from None
    for name in names:
        # Only the last part of a member's path is ever used, so that no path can lead out of the folder.
        short = PurePosixPath(name.replace("\\", "/")).name
        if short and not short.startswith((".", "~$")) and not name.startswith("__MACOSX"):
            yield name, short


def _matches(name: str, path: Path, source: Source) -> bool:
    is_export = fnmatchcase(name, EXPORT_NAME.format(source=source.name) + "*.csv")
    packed_as = path.stem + PurePosixPath(name).suffix
    return is_export or fnmatchcase(name, source.files) or fnmatchcase(packed_as, source.files)


def unpack(candidate: Candidate, scratch: Path) -> Content:
    """The content as a plain file, hashed. Raises SourceFileError for damaged, locked or monstrous archives."""
    plain = scratch / "unpacked"
    try:
        if candidate.member is not None:
            _unpack_member(candidate, plain)
        elif candidate.path.suffix.lower() == ".gz":
            with gzip.open(candidate.path) as opened:
                _copy_bounded(opened, plain, candidate.path.stat().st_size, str(candidate.path))
        else:
            plain = candidate.path
        return _hashed(plain, candidate.name)
    except (OSError, EOFError, zlib.error, zipfile.BadZipFile, RuntimeError, NotImplementedError) as broken:
        raise source_error(candidate.name, f"cannot be opened: {broken}") from None


def _unpack_member(candidate: Candidate, plain: Path) -> None:
    with zipfile.ZipFile(candidate.path) as packed:
        member = packed.getinfo(str(candidate.member))
        with packed.open(member) as opened:
            _copy_bounded(opened, plain, member.compress_size, candidate.name)


def _copy_bounded(opened: Readable, target: Path, packed_bytes: int, where: str) -> None:
    room = shutil.disk_usage(target.parent).free // 2
    most = min(max(SMALL_BYTES, MOST_RATIO * packed_bytes), MOST_BYTES, room)
    written = 0
    with target.open("wb") as out:
        while chunk := opened.read(_CHUNK):
            written += len(chunk)
            if written > most:
                raise source_error(where, f"unpacks to more than {most:,} bytes", "unpack it yourself and look at it")
            out.write(chunk)


def _hashed(path: Path, name: str) -> Content:
    digest = hashlib.sha256()
    size = 0
    with path.open("rb") as opened:
        while chunk := opened.read(_CHUNK):
            digest.update(chunk)
            size += len(chunk)
    return Content(path, name, digest.hexdigest(), size)
