"""The shop's dunnage.toml: the shop, its folders, the engine's limits and the column maps of its sources.

What each setting may say is stated by its type (models/settings/types.py); a new one is one line in its section.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any, get_type_hints
from zoneinfo import ZoneInfo

from models.errors import SettingsError
from models.settings.backup import Backups
from models.settings.cartons import Advice, Cartons, CheckedCartons, NearMisses
from models.settings.damage import Damage
from models.settings.engine import Engine, Spark
from models.settings.mail import CheckedMail, Mail
from models.settings.reading_limits import Limits
from models.settings.shop import CheckedFolders, Folders, Shop
from models.settings.sources import CheckedSource, ColumnSource, Source, Sources
from models.shop_units import Units
from models.timetable import Schedule
from pipelines.shop import durable, swapping
from pipelines.shop.toml_files import read_sections, stated_as

__all__ = ["ColumnSource", "Engine", "Folders", "Settings", "Shop", "Source", "load", "now_at", "sections", "source"]
FILE_NAME = "dunnage.toml"


@dataclass(frozen=True)
class Settings:
    """Everything dunnage.toml says. `folder` is where it lies. A field is a section; `sources` is [[source]]."""

    folder: Path
    shop: Shop = field(default_factory=Shop)
    folders: CheckedFolders = field(default_factory=Folders)
    engine: Engine = field(default_factory=Engine)
    spark: Spark = field(default_factory=Spark)
    sources: Sources = ()
    damage: Damage = field(default_factory=Damage)
    cartons: CheckedCartons = field(default_factory=Cartons)
    near_misses: NearMisses = field(default_factory=NearMisses)
    advice: Advice = field(default_factory=Advice)
    mail: CheckedMail = field(default_factory=Mail)
    schedule: Schedule = field(default_factory=Schedule)
    backup: Backups = field(default_factory=Backups)
    reading: Limits = field(default_factory=Limits)

    def path(self, name: str) -> Path:
        """One of the shop's folders, made if missing, readable by its owner only."""
        return durable.make_folder(self.folder / str(getattr(self.folders, name)))


def units_of(folder: Path | None) -> Units:
    """How the shop of FOLDER writes; in inches and pounds where there is no shop. Raises SettingsError."""
    where = folder or Path()
    return (load(where).shop if (where / FILE_NAME).exists() else Shop()).shown_units


def load(folder: Path) -> Settings:
    """Read FOLDER/dunnage.toml. Raises SettingsError that names the file, the line and the setting."""
    path = folder / FILE_NAME
    swapping.finish(folder)
    if not path.exists():
        raise SettingsError(
            str(path), "does not exist", "every command", "run `dunnage init` or name the shop's folder with --shop"
        )
    values = read_sections(path, sections(), "every command")
    return Settings(folder=folder.resolve(), sources=values.pop("source", ()), **values)


def sections() -> dict[str, Any]:
    """Name in the file -> type, of every section."""
    types = get_type_hints(Settings, include_extras=True)
    return {"source" if name == "sources" else name: kind for name, kind in types.items() if name != "folder"}


def source(table: Mapping[str, Any], where: str) -> Source:
    """One [[source]] table. Raises SettingsError for an unknown kind, format, column or word."""
    found: Source = stated_as(CheckedSource, table, where)
    return found


def now_at(settings: Settings) -> datetime:
    """The present wall-clock time in the shop's time zone, without zone, as records hold it."""
    return datetime.now(ZoneInfo(settings.shop.time_zone)).replace(tzinfo=None, microsecond=0)
