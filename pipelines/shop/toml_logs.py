"""Logs that commands add to and the shop edits: TOML files beside dunnage.toml. Comments and order are kept."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomlkit

from pipelines.shop import durable


def document(place: Path, head: str) -> Any:
    """The log as it stands, to be changed; one with these first lines where there is none."""
    return tomlkit.parse(place.read_text(encoding="utf-8") if place.exists() else head)


def write(place: Path, changed: Any) -> None:
    """Write the whole log again."""
    durable.write(place, tomlkit.dumps(changed))


def append(place: Path, head: str, section: str, entry: Mapping[str, Any]) -> None:
    """Add an entry to a section of the log."""
    log = document(place, head)
    log.setdefault(section, tomlkit.aot()).append(tomlkit.item(entry))
    write(place, log)
