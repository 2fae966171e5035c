"""Makes a backup: a proven copy of the warehouse, the archive and what the shop wrote itself, in one file.

Of those that are made by themselves the older ones go; those that a person asked for never do.
"""

import filecmp
import re
import zipfile
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from models.errors import BEGIN, BackupError, NotFoundError
from pipelines.shop import durable, warehouse
from pipelines.shop.backup import encryption
from pipelines.shop.backup.contents import MANIFEST, Backup, checked, copied, stated
from pipelines.shop.backup.copying import copied as warehouse_copied
from pipelines.shop.backup.copying import probe
from pipelines.shop.backup.places import FOLDERS, WAREHOUSE, clashing, is_ours, names_there
from pipelines.shop.settings import Settings
from pipelines.shop.warehouse import Connection

BESIDE, SCHEDULED = ".backup", "-scheduled"


def backup(settings: Settings, folder: Path | None, now: datetime, *, is_scheduled: bool = False) -> Backup:
    """Write a backup into FOLDER, by default that of the section [backup]; encrypted where that says so.

    Raises NotFoundError, WarehouseBusyError, BackupError where the copy of the warehouse is not proven alike or no
    passphrase is known, the engine's error where the warehouse cannot be read whole.
    """
    if not warehouse.files(settings)[0].exists():
        raise NotFoundError(str(settings.folder), "has no records yet", "this backup", BEGIN)
    secret = encryption.passphrase("[backup] encrypted") if settings.backup.encrypted else None
    place = durable.make_folder(folder or settings.folder / settings.backup.folder)
    name = f"dunnage-{plain(settings.shop.name)}-{now:%Y-%m-%d-%H%M%S}{SCHEDULED if is_scheduled else ''}"
    target = place / f"{name}.zip{encryption.SEALED if secret else ''}"
    with (
        durable.replacing(target, place / f"{name}{durable.WRITING}") as fresh,
        warehouse.writing(settings, "backup") as connection,
        durable.passing_folder(settings.folder / BESIDE) as beside,
    ):
        _sweep(place, settings, fresh)
        made = _packed(connection, settings, beside, beside / "packed.zip" if secret else fresh, now)
        if secret:
            _seal(made.path, fresh, secret)
    return replace(made, path=target)


def _packed(connection: Connection, settings: Settings, beside: Path, path: Path, now: datetime) -> Backup:
    """The zip file, read back."""
    tables = warehouse_copied(connection, beside / WAREHOUSE)
    made_at = now.isoformat(timespec="seconds")
    _pack(Backup(path, settings.shop.name, made_at, {}, 0, tables, probe(connection)), settings, beside / WAREHOUSE)
    return checked(path)


def _seal(packed: Path, fresh: Path, secret: str) -> None:
    """Encrypt, and prove it by opening it again."""
    again = packed.with_name("again.zip")
    encryption.seal(packed, fresh, secret)
    encryption.unseal(fresh, again, secret)
    if not filecmp.cmp(packed, again, shallow=False):
        raise BackupError(str(fresh), "does not open to what was encrypted", "this backup; none was made", "try again")


def plain(name: str) -> str:
    """A shop's name as part of a file's."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] or "shop"


def _sweep(place: Path, settings: Settings, fresh: Path) -> None:
    """What a killed backup of this shop left there."""
    for left in place.glob(f"dunnage-{plain(settings.shop.name)}-????-??-??-??????*{durable.WRITING}"):
        if left != fresh:
            left.unlink()


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


@dataclass(frozen=True)
class Scheduled:
    """A backup that was made by the clock, and the older ones that it let go."""

    backup: Backup
    removed: tuple[Path, ...]


def scheduled_backup(settings: Settings, now: datetime) -> Scheduled:
    """Make the backup that is due, then remove those that [backup] keeps no longer. now: wall clock of the shop.

    Raises BackupError where the folder is not there (a disk that is not connected), and what `backup` raises; nothing
    is removed then.
    """
    folder = settings.folder / settings.backup.folder
    if Path(settings.backup.folder).is_absolute() and not folder.is_dir():
        raise BackupError(
            str(folder), "is not there", "the scheduled backup; none was made", "connect that disk, or make the folder"
        )
    made = backup(settings, folder, now, is_scheduled=True)
    return Scheduled(made, tuple(_thinned(settings, folder)))


def _thinned(settings: Settings, folder: Path) -> Iterator[Path]:
    found = dict(_scheduled(settings, folder))
    for instant in sorted(found.keys() - settings.backup.kept(found)):
        found[instant].unlink()
        yield found[instant]
    durable.flush_folder(folder)


def _scheduled(settings: Settings, folder: Path) -> Iterator[tuple[datetime, Path]]:
    """The scheduled backups of this shop that lie there, by the instant in their names."""
    named = re.compile(
        rf"dunnage-{re.escape(plain(settings.shop.name))}-(\d{{4}}-\d\d-\d\d-\d{{6}}){SCHEDULED}\.zip(\.age)?"
    )
    for path in folder.iterdir():
        if (match := named.fullmatch(path.name)) and path.is_file():
            with suppress(ValueError):
                yield datetime.strptime(match[1], "%Y-%m-%d-%H%M%S"), path
