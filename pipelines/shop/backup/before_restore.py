"""What lies in a shop's folder before a restore, and what of it a backup replaces."""

import os
from collections.abc import Mapping
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Any

from models.errors import BackupError, SettingsError
from pipelines.shop import warehouse
from pipelines.shop.backup.places import FOLDERS, in_the_way, leading_out, outermost
from pipelines.shop.settings import FILE_NAME, Folders, Settings, Shop
from pipelines.shop.toml_files import read_toml

UNCHANGED = "this restore; nothing was changed"


def stated(folder: Path, section: str) -> dict[str, Any]:
    """A section of the settings that lie there, whatever is wrong in others. Raises SettingsError for no TOML file."""
    found = read_toml(folder / FILE_NAME, "this restore")[1].get(section, {})
    return found if isinstance(found, dict) else {}


def stated_folders(folder: Path) -> dict[str, str]:
    """Where those settings put each folder. Raises SettingsError for no TOML file."""
    said = stated(folder, "folders")
    return {name: str(said.get(name, usual)) for name, usual in asdict(Folders()).items()}


def shop_name(folder: Path) -> str | None:
    """The name of the shop that lies there; None where no settings can be read: they are replaced only by force."""
    try:
        return str(stated(folder, "shop").get("name", Shop().name))
    except SettingsError:
        return None


def places(folder: Path, restored: Mapping[str, str]) -> list[str]:
    """Where the folders of a backup are to lie, and where the present shop has them. Raises BackupError."""
    found = outermost(said[name] for said in (restored, _folders(folder)) for name in FOLDERS)
    for wrong in in_the_way(folder, found):
        raise BackupError(str(wrong), "is a link or a file", UNCHANGED, "restore into an empty folder with --shop")
    return found


def _folders(folder: Path) -> dict[str, str]:
    """The present shop's folders as far as they lie inside it; the usual ones where that cannot be read."""
    usual = asdict(Folders())
    try:
        said = stated_folders(folder)
    except SettingsError:
        return usual
    return said | {name: usual[name] for name in leading_out(said)}


def present(folder: Path, places: list[str]) -> list[str]:
    """Whatever of the present shop a backup replaces, relative to the folder: nothing later may be mixed into it."""
    path, copy = warehouse.files(Settings(folder=folder))
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
