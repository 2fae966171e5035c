"""Puts a backup back: unpacked beside, proven alike and usable, and only then swapped in for what is there."""

from __future__ import annotations

import os
import shutil
import tomllib
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import tomlkit

from models.errors import BackupError, WarehouseError
from pipelines import durable, swapping, warehouse
from pipelines.keeping import contents, copying
from pipelines.keeping.contents import Backup
from pipelines.keeping.places import FOLDERS, WAREHOUSE, in_the_way, leading_out, outermost
from pipelines.settings import FILE_NAME, Folders, Settings, load

UNCHANGED = "this restore; nothing was changed"
# A settings file that cannot be read: whose shop it is nobody knows, and it is replaced only by force.
UNREADABLE = (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError)


@dataclass(frozen=True)
class Restored:
    """What a restore did: the backup, how many files it put back, where it set aside those that were there.

    taken_in: the [folders] that led out of the shop's folder and are now inside it.
    """

    backup: Backup
    file_count: int
    set_aside: Path | None
    taken_in: tuple[str, ...] = ()


def restore(folder: Path, file: Path, *, is_forced: bool, now: datetime, is_taken_in: bool = False) -> Restored:
    """Put a backup back into a shop's folder. What is there is never deleted: if forced, it is set aside.

    is_taken_in: settings that put folders elsewhere are changed, so that all lies in the shop's folder. Raises
    BackupError for a damaged or foreign backup, or where files are in the way; WarehouseBusyError.
    """
    made = contents.checked(file)
    swapping.finish(folder)
    _refuse_foreign(folder, made)
    durable.make_folder(folder)
    with warehouse.held(Settings(folder=folder), "restore"):
        stage = _emptied(folder / swapping.STAGE)
        try:
            _unpack(made, stage, shutil.disk_usage(folder).free)
            settings, taken_in = _settings(made, stage, is_taken_in)
            _prove(made, settings)
            places = _places(folder, settings.folders)
            present = _present(folder, places)
            aside = _aside(folder, present, is_forced, now)
            _remove_empty(folder, places)
            swapping.swap(folder, [*_away(folder, present, aside), *_in(settings)])
        finally:
            if not swapping.is_pending(folder):
                shutil.rmtree(stage, ignore_errors=True)
    return Restored(made, len(made.hashes), aside, taken_in)


def _refuse_foreign(folder: Path, made: Backup) -> None:
    present = _shop_name(folder / FILE_NAME)
    if present not in (None, made.shop_name):
        raise BackupError(
            str(made.path),
            f"is of the shop {made.shop_name!r}; the folder {folder} holds {present!r}",
            UNCHANGED,
            "restore it into a folder of its own: dunnage --shop NEW-FOLDER restore FILE",
        )


def _shop_name(path: Path) -> str | None:
    """The name of the shop whose settings these are; None where none can be read."""
    try:
        said = tomllib.loads(path.read_text(encoding="utf-8")).get("shop", {})
    except UNREADABLE:
        return None
    return str(said.get("name", Settings(folder=path.parent).shop.name)) if isinstance(said, dict) else None


def _emptied(stage: Path) -> Path:
    """The folder to unpack into, made anew: what lies under its name may be a link."""
    if stage.is_symlink():
        stage.unlink()
    shutil.rmtree(stage, ignore_errors=True)
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


def _settings(made: Backup, stage: Path, is_taken_in: bool) -> tuple[Settings, tuple[str, ...]]:
    """The restored settings, all of whose folders lie inside the shop's; and those that did not."""
    settings = load(stage)
    wrong = leading_out(settings.folders)
    if not wrong:
        return settings, ()
    if not is_taken_in:
        said = ", ".join(f"{name} = {getattr(settings.folders, name)!r}" for name in wrong)
        raise BackupError(
            f"{made.path}, [folders]",
            f"{said}: not a place of its own inside the shop's folder",
            UNCHANGED,
            "add --inside: these folders are then put into the shop's folder, and its settings changed so",
        )
    document: Any = tomlkit.parse((stage / FILE_NAME).read_text(encoding="utf-8"))
    for name in wrong:
        document["folders"][name] = getattr(Folders(), name)
    durable.write(stage / FILE_NAME, tomlkit.dumps(document))
    return _settings(made, stage, is_taken_in=False)[0], tuple(wrong)


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


def _in(settings: Settings) -> Iterator[tuple[str, str]]:
    """The renames that put the unpacked files and folders in their places; the warehouse last."""
    stage = settings.folder
    for name in FOLDERS:
        if (stage / name).is_dir():
            yield f"{stage.name}/{name}", str(getattr(settings.folders, name))
    path, copy, _, _ = warehouse.files(settings)
    loose = [*sorted(stage.glob("*.toml")), copy, path]
    yield from ((f"{stage.name}/{each.name}", each.name) for each in loose if each.exists())


def _places(folder: Path, restored: Folders) -> list[str]:
    """Where the folders of a backup are to lie, and where the present shop has them. Raises BackupError."""
    both = (restored, _folders(folder))
    places = outermost(str(getattr(folders, name)) for folders in both for name in FOLDERS)
    for wrong in in_the_way(folder, places):
        raise BackupError(str(wrong), "is a link or a file", UNCHANGED, "restore into an empty folder with --shop")
    return places


def _present(folder: Path, places: list[str]) -> list[str]:
    """Whatever of the present shop a backup replaces, relative to the folder: nothing later may be mixed into it."""
    path, copy, _, _ = warehouse.files(Settings(folder=folder))
    loose = [path, path.with_name(path.name + ".wal"), copy, *sorted(folder.glob("*.toml"))]
    found = [*(each.name for each in loose), *places]
    return [each for each in found if os.path.lexists(folder / each) and not _is_empty(folder / each)]


def _is_empty(place: Path) -> bool:
    return place.is_dir() and not place.is_symlink() and not any(place.iterdir())


def _remove_empty(folder: Path, places: list[str]) -> None:
    for place in places:
        if _is_empty(folder / place):
            (folder / place).rmdir()


def _folders(folder: Path) -> Folders:
    """The present shop's folders as far as they lie inside it; the usual ones where that cannot be read."""
    try:
        said = tomllib.loads((folder / FILE_NAME).read_text(encoding="utf-8")).get("folders", {})
        known = {name: str(said[name]) for name in asdict(Folders()) if name in said}
    except (*UNREADABLE, TypeError, AttributeError):
        return Folders()
    present = Folders(**known)
    return Folders(**{name: place for name, place in known.items() if name not in leading_out(present)})


def _aside(folder: Path, present: list[str], is_forced: bool, now: datetime) -> Path | None:
    """Where what is there will lie; None where nothing is there. Raises BackupError where nobody forced it."""
    if not present:
        return None
    if not is_forced:
        raise BackupError(
            str(folder),
            f"holds {', '.join(present)}, which the backup would replace",
            UNCHANGED,
            "restore into an empty folder with --shop, or add --force: what is there is then set aside, not deleted",
        )
    name = f"replaced-{now:%Y-%m-%d-%H%M%S}"
    names = (name, *(f"{name}-{number}" for number in range(2, 1000)))
    return next(folder / each for each in names if not (folder / each).exists())


def _away(folder: Path, present: list[str], aside: Path | None) -> Iterator[tuple[str, str]]:
    if aside:
        yield from ((place, f"{aside.relative_to(folder)}/{place}") for place in present)
