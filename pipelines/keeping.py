"""Backup and restore: one zip file with the warehouse, the archive and what the shop wrote itself.

A backup is made while the writer's lock is held, so that all its parts are of one moment; readers go on meanwhile. A
manifest in it names every member with its SHA-256. It is read back before it gets its name, and again before anything
of it is restored. Inbox and reviews are left out: the one is the shop's own, the others can be drawn again.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePosixPath
from typing import IO, Any

from models.errors import BackupError, NotFoundError
from pipelines import warehouse
from pipelines.settings import FILE_NAME, Settings, load

FORMAT, VERSION = "dunnage backup", 1
MANIFEST = "manifest.json"
WAREHOUSE = "warehouse.duckdb"
FOLDERS = ("archive", "tariffs", "outbox")
UNPACKED = ".restoring"
_CHUNK = 1 << 20


@dataclass(frozen=True)
class Backup:
    """A backup file and what its manifest says: shop, when it was made, member -> SHA-256."""

    path: Path
    shop_name: str
    made_at: str
    hashes: Mapping[str, str]


@dataclass(frozen=True)
class Restored:
    """What a restore did: the backup, how many files it put back, and where it set aside those that were there."""

    backup: Backup
    file_count: int
    set_aside: Path | None


def backup(settings: Settings, folder: Path | None, now: datetime) -> Backup:
    """Write a backup into FOLDER, by default the shop's `backups`. Raises NotFoundError, WarehouseBusyError."""
    if not warehouse.files(settings)[0].exists():
        raise NotFoundError(str(settings.folder), "holds no warehouse yet", "this backup", "run `dunnage intake` first")
    place = folder or settings.folder / "backups"
    place.mkdir(mode=0o700, parents=True, exist_ok=True)
    name = f"dunnage-{_plain(settings.shop.name)}-{now:%Y-%m-%d-%H%M%S}"
    fresh, target = place / f"{name}.writing", place / f"{name}.zip"
    try:
        with warehouse.writing(settings, "backup") as connection:
            _sweep(place, settings)
            connection.execute("checkpoint")
            _pack(fresh, settings, now)
        made = checked(fresh)
        fresh.replace(target)
    finally:
        fresh.unlink(missing_ok=True)
    return Backup(target, made.shop_name, made.made_at, made.hashes)


def _plain(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] or "shop"


def _sweep(place: Path, settings: Settings) -> None:
    """What a killed backup of this shop left there."""
    for left in place.glob(f"dunnage-{_plain(settings.shop.name)}-????-??-??-??????.writing"):
        left.unlink()


def _parts(settings: Settings) -> Iterator[tuple[str, Path]]:
    """Member -> file. Folders have their own names in a backup, whatever the shop calls them."""
    yield WAREHOUSE, warehouse.files(settings)[0]
    for path in sorted(settings.folder.glob("*.toml")):
        yield path.name, path
    for name in FOLDERS:
        folder = settings.path(name)
        found = (path for path in folder.rglob("*") if path.is_file() and path.suffix != ".writing")
        yield from ((f"{name}/{path.relative_to(folder).as_posix()}", path) for path in sorted(found))


def _pack(fresh: Path, settings: Settings, now: datetime) -> None:
    fresh.touch(mode=0o600)
    hashes = {}
    with zipfile.ZipFile(fresh, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as packed:
        for member, path in _parts(settings):
            with path.open("rb") as source, packed.open(member, "w", force_zip64=True) as target:
                hashes[member] = _copied(source, target)
        said = {"format": FORMAT, "version": VERSION, "shop": settings.shop.name}
        said |= {"made_at": now.isoformat(timespec="seconds"), "sha256": hashes}
        packed.writestr(MANIFEST, json.dumps(said, ensure_ascii=False, indent=1))


def _copied(source: IO[bytes], target: IO[bytes] | None) -> str:
    digest = hashlib.sha256()
    while chunk := source.read(_CHUNK):
        digest.update(chunk)
        if target:
            target.write(chunk)
    return digest.hexdigest()


def checked(path: Path) -> Backup:
    """The backup, every member read and held to its hash. Raises BackupError that names what is wrong."""
    if not path.is_file():
        raise BackupError(str(path), "is not there", "this restore; nothing was changed", "check the name")
    try:
        with zipfile.ZipFile(path) as packed:
            made = _manifest(path, packed)
            for member, stated in made.hashes.items():
                with packed.open(member) as opened:
                    if _copied(opened, None) != stated:
                        raise _damaged(path, f"{member} has another content than was backed up")
    except (zipfile.BadZipFile, zlib.error, EOFError, KeyError, ValueError, NotImplementedError) as broken:
        raise _damaged(path, str(broken)) from None
    return made


def _manifest(path: Path, packed: zipfile.ZipFile) -> Backup:
    members = [each.filename for each in packed.infolist()]
    said: Any = json.loads(packed.read(MANIFEST)) if MANIFEST in members else {}
    if not isinstance(said, dict) or said.get("format") != FORMAT:
        raise BackupError(str(path), "is no backup that dunnage made", "this restore; nothing was changed", "name one")
    if said["version"] != VERSION:
        raise BackupError(str(path), "was made by a newer version", "this restore; nothing was changed", "update it")
    if sorted(members) != sorted([*said["sha256"], MANIFEST]) or not all(map(_is_ours, said["sha256"])):
        raise _damaged(path, "its members are not those of its manifest")
    return Backup(path, str(said["shop"]), str(said["made_at"]), said["sha256"])


def _is_ours(member: str) -> bool:
    """Whether a member has a place in a shop's folder. Nothing else is unpacked, and nothing outside the folder."""
    parts = PurePosixPath(member).parts
    if len(parts) == 1:
        return member == WAREHOUSE or re.fullmatch(r"[\w][\w.-]*\.toml", member) is not None
    return parts[0] in FOLDERS and not {"..", "/"} & set(parts) and "\\" not in member and ":" not in member


def _damaged(path: Path, what: str) -> BackupError:
    return BackupError(str(path), f"is damaged: {what}", "this restore; nothing was changed", "use another backup")


def restore(folder: Path, file: Path, *, is_forced: bool, now: datetime) -> Restored:
    """Put a backup back into a shop's folder. What is there is never deleted: if forced, it is set aside.

    Raises BackupError for a damaged or foreign backup, or where files are in the way; WarehouseBusyError.
    """
    made = checked(file)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    _refuse_foreign(folder, made)
    unpacked = folder / UNPACKED
    with warehouse.held(Settings(folder=folder), "restore"):
        try:
            shutil.rmtree(unpacked, ignore_errors=True)
            _unpack(file, made, unpacked)
            moves = _moves(folder, unpacked, made)
            aside = _clear(folder, unpacked, is_forced, now)
            for source, target in moves:
                target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
                shutil.move(source, target)
        finally:
            shutil.rmtree(unpacked, ignore_errors=True)
    return Restored(made, len(moves), aside)


def _refuse_foreign(folder: Path, made: Backup) -> None:
    if not (folder / FILE_NAME).exists():
        return
    present = load(folder).shop.name
    if present != made.shop_name:
        raise BackupError(
            str(made.path),
            f"is of the shop {made.shop_name!r}; the folder {folder} holds {present!r}",
            "this restore; nothing was changed",
            "restore it into a folder of its own: dunnage --shop NEW-FOLDER restore FILE",
        )


def _unpack(file: Path, made: Backup, unpacked: Path) -> None:
    """Every member beside its place, held to its hash once more: the file may have changed since it was checked."""
    with zipfile.ZipFile(file) as packed:
        for member, stated in made.hashes.items():
            path = unpacked / member
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            path.touch(mode=0o600)
            with packed.open(member) as source, path.open("wb") as target:
                if _copied(source, target) != stated:
                    raise _damaged(file, f"{member} has another content than was backed up")


def _moves(folder: Path, unpacked: Path, made: Backup) -> list[tuple[Path, Path]]:
    """From where to where; the warehouse last, since it speaks of the others."""
    places = _places(folder, unpacked)
    moves = []
    for member in sorted(made.hashes, key=lambda each: each == WAREHOUSE):
        head, _, rest = member.partition("/")
        moves.append((unpacked / member, places[head] / rest if rest else folder / member))
    return moves


def _places(folder: Path, unpacked: Path) -> dict[str, Path]:
    """Where the restored settings want each folder."""
    folders = load(unpacked).folders
    return {name: folder / str(getattr(folders, name)) for name in FOLDERS}


def _clear(folder: Path, unpacked: Path, is_forced: bool, now: datetime) -> Path | None:
    """Set aside whatever of the present shop a backup replaces, so that nothing later is mixed into it."""
    path, copy, _, _ = warehouse.files(Settings(folder=folder))
    whole = [each for each in _places(folder, unpacked).values() if each.is_dir() and any(each.iterdir())]
    loose = [path, path.with_name(path.name + ".wal"), copy, *sorted(folder.glob("*.toml"))]
    present = [*(each for each in loose if each.exists()), *whole]
    if not present:
        return None
    if not is_forced:
        raise BackupError(
            str(folder),
            f"holds {', '.join(each.name for each in present)}, which the backup would replace",
            "this restore; nothing was changed",
            "restore into an empty folder with --shop, or add --force: what is there is then set aside, not deleted",
        )
    name = f"replaced-{now:%Y-%m-%d-%H%M%S}"
    names = (name, *(f"{name}-{number}" for number in range(2, 1000)))
    aside = next(folder / each for each in names if not (folder / each).exists())
    aside.mkdir(mode=0o700)
    for each in present:
        shutil.move(each, aside / each.name)
    return aside
