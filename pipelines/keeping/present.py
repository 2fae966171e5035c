"""What lies in a shop's folder before a restore, and what of it a backup replaces."""

from __future__ import annotations

import os
import tomllib
from dataclasses import asdict
from datetime import datetime
from pathlib import Path

from models.errors import BackupError
from pipelines import warehouse
from pipelines.keeping.places import FOLDERS, in_the_way, leading_out, outermost
from pipelines.settings import FILE_NAME, Folders, Settings

UNCHANGED = "this restore; nothing was changed"
# A settings file that cannot be read: whose shop it is nobody knows, and it is replaced only by force.
UNREADABLE = (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError)


def shop_name(folder: Path) -> str | None:
    """The name of the shop that lies there; None where no settings can be read."""
    try:
        said = tomllib.loads((folder / FILE_NAME).read_text(encoding="utf-8")).get("shop", {})
    except UNREADABLE:
        return None
    return str(said.get("name", Settings(folder=folder).shop.name)) if isinstance(said, dict) else None


def places(folder: Path, restored: Folders) -> list[str]:
    """Where the folders of a backup are to lie, and where the present shop has them. Raises BackupError."""
    both = (restored, _folders(folder))
    places = outermost(str(getattr(folders, name)) for folders in both for name in FOLDERS)
    for wrong in in_the_way(folder, places):
        raise BackupError(str(wrong), "is a link or a file", UNCHANGED, "restore into an empty folder with --shop")
    return places


def present(folder: Path, places: list[str]) -> list[str]:
    """Whatever of the present shop a backup replaces, relative to the folder: nothing later may be mixed into it."""
    path, copy, _, _ = warehouse.files(Settings(folder=folder))
    loose = [path, path.with_name(path.name + ".wal"), copy, *sorted(folder.glob("*.toml"))]
    found = [*(each.name for each in loose), *places]
    return [each for each in found if os.path.lexists(folder / each) and not _is_empty(folder / each)]


def _is_empty(place: Path) -> bool:
    return place.is_dir() and not place.is_symlink() and not any(place.iterdir())


def remove_empty(folder: Path, places: list[str]) -> None:
    """Make way where a folder that holds nothing stands."""
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


def aside(folder: Path, present: list[str], is_forced: bool, now: datetime) -> Path | None:
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
