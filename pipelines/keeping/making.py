"""Makes a backup: a proven copy of the warehouse, the archive and what the shop wrote itself, in one file."""

from __future__ import annotations

import re
import shutil
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from models.errors import BackupError, NotFoundError
from pipelines import durable, warehouse
from pipelines.keeping.contents import MANIFEST, Backup, checked, copied, stated
from pipelines.keeping.copying import copied as warehouse_copied
from pipelines.keeping.copying import probe
from pipelines.keeping.places import FOLDERS, WAREHOUSE, clashing, is_ours, names_there
from pipelines.settings import Settings

BESIDE = ".backup"


def backup(settings: Settings, folder: Path | None, now: datetime) -> Backup:
    """Write a backup into FOLDER, by default the shop's `backups`. Raises NotFoundError, WarehouseBusyError,
    BackupError where the copy of the warehouse is not proven alike, the engine's error where it cannot be read."""
    if not warehouse.files(settings)[0].exists():
        raise NotFoundError(str(settings.folder), "holds no warehouse yet", "this backup", "run `dunnage intake` first")
    place = durable.make_folder(folder or settings.folder / "backups")
    name = f"dunnage-{plain(settings.shop.name)}-{now:%Y-%m-%d-%H%M%S}"
    target = place / f"{name}.zip"
    with durable.replacing(target, place / f"{name}{durable.WRITING}") as fresh:
        with warehouse.writing(settings, "backup") as connection, _beside(settings) as beside:
            _sweep(place, settings, fresh)
            tables = warehouse_copied(connection, beside / WAREHOUSE)
            made = Backup(
                fresh, settings.shop.name, now.isoformat(timespec="seconds"), {}, 0, tables, probe(connection)
            )
            _pack(made, settings, beside / WAREHOUSE)
        made = checked(fresh)
    return replace(made, path=target)


def plain(name: str) -> str:
    """A shop's name as part of a file's."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] or "shop"


def _sweep(place: Path, settings: Settings, fresh: Path) -> None:
    """What a killed backup of this shop left there."""
    for left in place.glob(f"dunnage-{plain(settings.shop.name)}-????-??-??-??????{durable.WRITING}"):
        if left != fresh:
            left.unlink()


@contextmanager
def _beside(settings: Settings) -> Iterator[Path]:
    """A folder in the shop's own for the copy of the warehouse, emptied of what a killed backup left."""
    folder = settings.folder / BESIDE
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(mode=0o700)
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _parts(settings: Settings, copy: Path) -> Iterator[tuple[str, Path]]:
    """Member -> file. Folders have their own names in a backup, whatever the shop calls them."""
    yield WAREHOUSE, copy
    for path in sorted(settings.folder.glob("*.toml")):
        yield path.name, path
    for name in FOLDERS:
        folder = settings.path(name)
        found = sorted(each for each in names_there(folder) if not each.endswith(durable.WRITING))
        yield from ((f"{name}/{each}", folder / each) for each in found if (folder / each).is_file())


def _refuse_strange(parts: dict[str, Path]) -> None:
    wrong = [member for member in parts if not is_ours(member)] or clashing(parts)
    if wrong:
        raise BackupError(
            str(parts[wrong[0]]),
            "has a name that another system would not keep apart, or not take",
            "this backup; none was made",
            "rename that file",
        )


def _pack(made: Backup, settings: Settings, copy: Path) -> None:
    parts = dict(_parts(settings, copy))
    _refuse_strange(parts)
    hashes = {}
    with zipfile.ZipFile(made.path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as packed:
        for member, path in parts.items():
            with path.open("rb") as source, packed.open(member, "w", force_zip64=True) as target:
                hashes[member] = copied(source, target)
        packed.writestr(MANIFEST, stated(made.shop_name, made.made_at, hashes, made.tables, made.probe))
