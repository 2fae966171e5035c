"""Logs that commands add to and the shop edits: TOML files beside dunnage.toml. Comments and order are kept."""

from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import tomlkit

from pipelines.shop import durable
from pipelines.shop.settings import Settings
from pipelines.shop.toml_files import read_sections


@dataclass(frozen=True)
class Log:
    """One log: its file in the shop's folder, the first lines of a new one, what each of its sections may be, and who
    is affected by a wrong entry."""

    file_name: str
    head: str
    kinds: Mapping[str, Any]
    affected: str

    def path(self, settings: Settings) -> Path:
        """Where it lies."""
        return settings.folder / self.file_name

    def read(self, settings: Settings) -> dict[str, tuple[Any, ...]]:
        """The entries of each section, in the order of the file. Raises SettingsError for a wrong one."""
        place = self.path(settings)
        found = read_sections(place, self.kinds, self.affected) if place.exists() else {}
        return {section: tuple(found.get(section, ())) for section in self.kinds}

    def digest(self, settings: Settings) -> str:
        """What a build depends on: its entries."""
        return sha256(repr(self.read(settings)).encode()).hexdigest()

    def document(self, settings: Settings) -> Any:
        """The log as it stands, to be changed; a new one where there is none."""
        place = self.path(settings)
        return tomlkit.parse(place.read_text(encoding="utf-8") if place.exists() else self.head)

    def write(self, settings: Settings, changed: Any) -> None:
        """Write the whole log again."""
        durable.write(self.path(settings), tomlkit.dumps(changed))

    def append(self, settings: Settings, section: str, entry: Mapping[str, Any]) -> None:
        """Add an entry to a section of the log."""
        log = self.document(settings)
        log.setdefault(section, tomlkit.aot()).append(tomlkit.item(entry))
        self.write(settings, log)
