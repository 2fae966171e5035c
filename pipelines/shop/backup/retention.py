"""Backups that are made by themselves, and the older ones that go: those that a person asked for never do."""

import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from models.errors import BackupError
from pipelines.shop import durable
from pipelines.shop.backup.contents import Backup
from pipelines.shop.backup.making import SCHEDULED, backup, plain
from pipelines.shop.settings import Settings


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
