"""Alarms that somebody has seen: alarms.toml in the shop's folder, one entry per alarm acknowledged."""

from __future__ import annotations

import tomllib
from collections.abc import Collection
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Any

import tomlkit

from models.contracts import sql_type
from models.errors import NotFoundError, SettingsError
from models.tables import TABLES
from pipelines import warehouse
from pipelines.settings import Settings

FILE_NAME = "alarms.toml"
TABLE = "shop.acknowledgements"
HEAD = "# Alarms that were seen and need no further mail. `dunnage watch --acknowledge ID` adds an entry.\n"


def path(settings: Settings) -> Path:
    """Where acknowledgements lie."""
    return settings.folder / FILE_NAME


def acknowledged(settings: Settings) -> list[str]:
    """Ids of the alarms that were seen; none where there is no file. Raises SettingsError for a wrong file."""
    place = path(settings)
    if not place.exists():
        return []
    try:
        entries = tomllib.loads(place.read_text(encoding="utf-8")).get("acknowledged", [])
        return sorted({str(entry["alarm_id"]) for entry in entries})
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, KeyError, TypeError, AttributeError) as wrong:
        raise SettingsError(
            str(place),
            f"cannot be read: {wrong}",
            "alarms that were acknowledged",
            "mend that line, or remove the file: alarms are then told again",
        ) from None


def acknowledge(settings: Settings, alarm_id: str, known: Collection[str], seen_on: date, note: str = "") -> None:
    """Note that an alarm was seen; a second time changes nothing. Raises NotFoundError for an unknown alarm."""
    if alarm_id not in known:
        listed = ", ".join(sorted(known)) or "there is none"
        raise NotFoundError(f"alarm {alarm_id!r}", "is not known", "this command", f"use one of: {listed}")
    if alarm_id in acknowledged(settings):
        return
    place = path(settings)
    document: Any = tomlkit.parse(place.read_text(encoding="utf-8") if place.exists() else HEAD)
    entry = {"alarm_id": alarm_id, "seen_on": seen_on} | ({"note": note} if note else {})
    document.setdefault("acknowledged", tomlkit.aot()).append(tomlkit.item(entry))
    fresh = place.with_name(f"{FILE_NAME}.writing")
    fresh.write_text(tomlkit.dumps(document), encoding="utf-8")
    fresh.replace(place)


def load(connection: warehouse.Connection, settings: Settings) -> None:
    """Put the acknowledgements into shop.acknowledgements, for the analyses to read."""
    typed = ", ".join(f"{name} {sql_type(column)}" for name, column in TABLES[TABLE].columns.items())
    connection.execute(f"create or replace table {TABLE} ({typed})")
    for alarm_id in acknowledged(settings):
        connection.execute(f"insert into {TABLE} values (?)", [alarm_id])


def digest(settings: Settings) -> str:
    """What a build depends on."""
    return sha256(repr(acknowledged(settings)).encode()).hexdigest()
