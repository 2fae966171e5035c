"""Puts a backup back: unpacked beside, proven alike and usable, and only then swapped in for what is there."""

import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import tomlkit

from models.errors import BackupError, SettingsError, WarehouseError
from pipelines.shop import durable, swapping, warehouse
from pipelines.shop.backup import contents, copying, encryption
from pipelines.shop.backup.before_restore import (
    UNCHANGED,
    aside,
    places,
    present,
    remove_empty,
    shop_name,
    stated_folders,
)
from pipelines.shop.backup.contents import Backup
from pipelines.shop.backup.places import FOLDERS, WAREHOUSE, leading_out
from pipelines.shop.settings import FILE_NAME, Folders, Settings, load

UNSEALED = ".unsealed"


@dataclass(frozen=True)
class Restored:
    """What a restore did: the backup, how many files it put back, where it set aside those that were there.

    moved_in: the [folders] that led out of the shop's folder and are now inside it. trouble: what of its settings, made
    by an older version, this one does not take.
    """

    backup: Backup
    file_count: int
    set_aside: Path | None
    moved_in: tuple[str, ...] = ()
    trouble: str = ""


def restore(folder: Path, file: Path, *, is_forced: bool, now: datetime, is_taken_in: bool = False) -> Restored:
    """Put a backup back into a shop's folder. What is there is never deleted: if forced, it is set aside.

    is_taken_in: settings that put folders elsewhere are changed, so that all lies in the shop's folder. Raises
    BackupError for a damaged or foreign backup, or where files are in the way; WarehouseBusyError.
    """
    with _plain(file, folder) as source:
        return _restored(folder, file, source, is_forced, now, is_taken_in)


def _restored(folder: Path, file: Path, source: Path, is_forced: bool, now: datetime, is_taken_in: bool) -> Restored:
    made = contents.checked(source)
    swapping.finish(folder)
    _refuse_foreign(folder, made)
    durable.make_folder(folder)
    with warehouse.held(Settings(folder=folder), "restore"):
        stage = _emptied(folder / swapping.STAGE)
        try:
            _unpack(made, stage, shutil.disk_usage(folder).free)
            folders, moved_in = _folders(made, stage, is_taken_in)
            _prove(made, Settings(folder=stage))
            replaced = places(folder, folders)
            there = present(folder, replaced)
            set_aside = aside(folder, there, is_forced, now)
            remove_empty(folder, replaced)
            swapping.swap(folder, [*_away(folder, there, set_aside), *_in(stage, folders)])
        finally:
            if not swapping.is_pending(folder):
                shutil.rmtree(stage, ignore_errors=True)
    return Restored(replace(made, path=file), len(made.hashes), set_aside, moved_in, _trouble(folder))


@contextmanager
def _plain(file: Path, folder: Path) -> Iterator[Path]:
    """The backup as a zip file; an encrypted one is opened in the shop's folder, where all of it will lie anyway."""
    if not file.is_file() or not encryption.is_sealed(file):
        yield file
        return
    was_there = folder.is_dir()
    try:
        with durable.passing_folder(folder / UNSEALED) as beside:
            encryption.unseal(file, beside / "backup.zip", encryption.passphrase(str(file)))
            yield beside / "backup.zip"
    finally:
        if not was_there and not any(folder.iterdir()):
            folder.rmdir()


def _refuse_foreign(folder: Path, made: Backup) -> None:
    name = shop_name(folder)
    if name not in (None, made.shop_name):
        raise BackupError(
            str(made.path),
            f"is of the shop {made.shop_name!r}; the folder {folder} holds {name!r}",
            UNCHANGED,
            "restore it into a folder of its own: dunnage --shop NEW-FOLDER restore FILE",
        )


def _emptied(stage: Path) -> Path:
    """The folder to unpack into, made new: what lies under its name may be a link."""
    durable.remove_folder(stage)
    stage.mkdir(mode=0o700)
    return stage


def _unpack(made: Backup, stage: Path, free: int) -> None:
    """Every member beside its place, held to its hash once more: the file may have changed since it was checked."""
    with contents.opened(made.path) as (packed, again):
        if again != made:
            raise contents.damaged(made.path, "it changed while it was read")
        copies = made.byte_count + packed.getinfo(WAREHOUSE).file_size if WAREHOUSE in made.hashes else made.byte_count
        if copies > free:
            raise BackupError(str(made.path), f"needs {copies:,} bytes; {free:,} are free", UNCHANGED, "make room")
        for member in made.hashes:
            path = stage / member
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            path.touch(mode=0o600)
            with path.open("wb") as target:
                contents.hold(packed, made, member, target)


def _folders(made: Backup, stage: Path, is_taken_in: bool) -> tuple[dict[str, str], tuple[str, ...]]:
    """Where the restored settings put each folder, all inside the shop's; and those that they had elsewhere."""
    if not (stage / FILE_NAME).exists():
        return asdict(Folders()), ()
    said = stated_folders(stage)
    wrong = leading_out(said)
    if wrong and not is_taken_in:
        listed = ", ".join(f"{name} = {said[name]!r}" for name in wrong)
        raise BackupError(
            f"{made.path}, [folders]",
            f"{listed}: not a folder of its own inside the shop's folder",
            UNCHANGED,
            "add --inside: these folders are then put into the shop's folder, and its settings changed so",
        )
    if wrong:
        document: Any = tomlkit.parse((stage / FILE_NAME).read_text(encoding="utf-8"))
        for name in wrong:
            document["folders"][name] = getattr(Folders(), name)
        durable.write(stage / FILE_NAME, tomlkit.dumps(document))
        return _folders(made, stage, is_taken_in=False)[0], tuple(wrong)
    return said, ()


def _trouble(folder: Path) -> str:
    """What an older version's settings say that this one does not take; empty where they can be used."""
    try:
        load(folder)
    except SettingsError as wrong:
        return f"{wrong.where}: {wrong.what}. {wrong.next_step}"
    return ""


def _prove(made: Backup, settings: Settings) -> None:
    """The unpacked warehouse holds what was backed up, opens by this version, and has its copy for readers."""
    if WAREHOUSE not in made.hashes:
        return
    try:
        with warehouse.scratch() as connection:
            found = copying.digests_of(connection, warehouse.files(settings)[0])
            is_comparable = copying.probe(connection) == made.probe
        with warehouse.writing(settings, "restore"):
            pass
    except WarehouseError as broken:
        raise contents.damaged(made.path, f"its warehouse {broken.what}") from None
    except warehouse.EngineError as broken:
        raise contents.damaged(made.path, f"its warehouse cannot be read: {str(broken).splitlines()[0]}") from None
    differing = [name for name in made.tables if _differs(found.get(name), made.tables[name], is_comparable)]
    if differing or (made.tables and len(found) != len(made.tables)):
        raise contents.damaged(made.path, f"other rows than were backed up in {', '.join(differing) or 'more tables'}")


def _differs(found: tuple[int, str] | None, said: tuple[int, str], is_comparable: bool) -> bool:
    return found is None or (found != said if is_comparable else found[0] != said[0])


def _in(stage: Path, folders: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """The renames that put the unpacked files and folders in their places; the warehouse last."""
    for name in FOLDERS:
        if (stage / name).is_dir():
            yield f"{stage.name}/{name}", folders[name]
    path, copy = warehouse.files(Settings(folder=stage))
    loose = [*sorted(stage.glob("*.toml")), copy, path]
    yield from ((f"{stage.name}/{each.name}", each.name) for each in loose if each.exists())


def _away(folder: Path, there: list[str], set_aside: Path | None) -> Iterator[tuple[str, str]]:
    if set_aside:
        yield from ((place, f"{set_aside.relative_to(folder)}/{place}") for place in there)
