"""Pictures and documents of a damaged parcel: files in the shop's folder `evidence`, in one of the label's number.

A file that was attached lies there under what it shows and the SHA-256 of its content, so the folder itself is the
record: it is in every backup, the same picture twice is one, and a file that was altered no longer has its name.
"""

import hashlib
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from models.claims.evidence import KINDS, SUFFIXES, Kept, kept_of, kind_of
from models.errors import EvidenceError
from pipelines.review.claims import pictures
from pipelines.shop import durable
from pipelines.shop.backup.places import is_ours
from pipelines.shop.settings import Settings

MOST_BYTES = 40 << 20
MOST_FILES = 200


@dataclass(frozen=True)
class Attached:
    """What became of the files: kept ones by their first name, and those refused with the reason."""

    kept: Mapping[str, Kept]
    refused: Mapping[str, str]


def folder(settings: Settings, parcel_id: str) -> Path:
    """Where the parcel's evidence lies; a label number that is no plain name on every system is written otherwise."""
    name = quote(parcel_id, safe=" ")
    if not is_ours(f"evidence/{name}/x"):
        name = f"parcel {hashlib.sha256(parcel_id.encode()).hexdigest()[:24]}"
    return settings.folder / settings.folders.evidence / name


def shown_folder(settings: Settings, parcel_id: str) -> str:
    """The folder as it is named to its owner, from the shop's folder."""
    return folder(settings, parcel_id).relative_to(settings.folder).as_posix()


def kept(settings: Settings, parcel_id: str) -> list[Kept]:
    """The files on record, in the order of what they show."""
    found = [kept_of(path.name) for path in _files(settings, parcel_id)]
    return sorted((each for each in found if each), key=lambda each: (KINDS.index(each.kind), each.content_hash))


def _files(settings: Settings, parcel_id: str) -> list[Path]:
    place = folder(settings, parcel_id)
    if place.is_symlink() or not place.is_dir():
        return []
    return sorted(path for path in place.iterdir() if path.is_symlink() or path.is_file())


def attach(settings: Settings, parcel_id: str, shows: Mapping[str, str]) -> Attached:
    """Take up every file that lies in the parcel's folder and is not on record yet.

    shows: name of a file, or its beginning -> what it shows (KINDS); else its own name says so (`label 2.jpg`). A file
    that is no picture or document within bounds stays where it lies and is named with its reason. Raises EvidenceError
    for a name that no file has, or too many files.
    """
    files = _files(settings, parcel_id)
    if len(files) > MOST_FILES:
        raise _wrong(parcel_id, f"has {len(files)} files of evidence", f"leave at most {MOST_FILES} in its folder")
    wanted = {_named(files, name, parcel_id): kind for name, kind in shows.items()}
    taken: dict[str, Kept] = {}
    refused: dict[str, str] = {}
    with pictures.reader() as reader:
        for path in files:
            if kept_of(path.name) and path not in wanted:
                continue
            reason = _reason(path) or reader.fault(path, SUFFIXES[path.suffix.lower()])
            if reason:
                refused[path.name] = reason
            else:
                taken[path.name] = _take(path, wanted.get(path) or kind_of(path.name))
    return Attached(taken, refused)


def _named(files: list[Path], name: str, parcel_id: str) -> Path:
    found = [path for path in files if path.name == name] or [path for path in files if path.name.startswith(name)]
    if len(found) != 1:
        raise _wrong(
            parcel_id, f"has {'several files' if found else 'no file'} named {name}", "give the file's whole name"
        )
    return found[0]


def _reason(path: Path) -> str:
    if path.is_symlink():
        return "is a link; put the file itself there"
    if path.suffix.lower() not in SUFFIXES:
        return f"is none of {', '.join(sorted(SUFFIXES))}; save it as JPEG"
    byte_count = path.stat().st_size
    if byte_count > MOST_BYTES:
        return f"has {byte_count >> 20} MB, more than {MOST_BYTES >> 20}; save a smaller copy"
    return "is empty" if byte_count == 0 else ""


def _take(path: Path, kind: str) -> Kept:
    """Give the file the name of its content; the same content on record already is one file."""
    found = Kept(kind, durable.file_hash(path), path.suffix.lower())
    target = path.with_name(found.name)
    if target != path:
        durable.replace(path, target)
        target.chmod(0o600)
    return found


def whole(settings: Settings, parcel_id: str) -> Iterator[tuple[Kept, Path]]:
    """Every file on record with its place, held to its hash. Raises EvidenceError for one that was altered."""
    for each in kept(settings, parcel_id):
        path = folder(settings, parcel_id) / each.name
        if path.is_symlink() or durable.file_hash(path) != each.content_hash:
            raise _wrong(
                parcel_id, f"has evidence that was altered: {each.name}", "take it from a backup, or remove it"
            )
        yield each, path


def erase(settings: Settings, parcel_id: str) -> int:
    """Remove the parcel's folder of evidence; returns how many files went. Copies in backups stay."""
    files = _files(settings, parcel_id)
    place = folder(settings, parcel_id)
    if place.is_dir() and not place.is_symlink():
        shutil.rmtree(place)
    return len(files)


def _wrong(parcel_id: str, what: str, next_step: str) -> EvidenceError:
    return EvidenceError(f"parcel {parcel_id}", what, "the evidence of its claim", next_step)
