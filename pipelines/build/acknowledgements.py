"""Alarms that somebody has seen: alarms.toml in the shop's folder, one entry per alarm acknowledged."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Annotated, ClassVar

from pydantic import Field

from models.errors import NotFoundError
from models.settings.types import Section, Words
from models.tables import TABLES
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings
from pipelines.shop.toml_logs import Log

TABLE = "shop.acknowledgements"
HEAD = "# Alarms that were seen and need no further mail. `dunnage watch --acknowledge ID` adds an entry.\n"


@dataclass(frozen=True)
class Acknowledgement(Section):
    """One alarm that was seen, when, and what was found."""

    affected: ClassVar[str] = "alarms that were acknowledged"

    alarm_id: Words
    seen_on: date | None = None
    note: str = ""


Seen = Annotated[tuple[Acknowledgement, ...], Field(strict=False)]
LOG = Log("alarms.toml", HEAD, {"acknowledged": Seen}, Acknowledgement.affected)


def acknowledged(settings: Settings) -> list[str]:
    """Ids of the alarms that were seen; none where there is no file. Raises SettingsError for a wrong file."""
    return sorted({each.alarm_id for each in LOG.read(settings)["acknowledged"]})


def acknowledge(settings: Settings, alarm_id: str, known: Collection[str], seen_on: date, note: str = "") -> None:
    """Note that an alarm was seen; a second time changes nothing. Raises NotFoundError for an unknown alarm."""
    if alarm_id not in known:
        listed = ", ".join(sorted(known)) or "there is none"
        raise NotFoundError(f"alarm {alarm_id!r}", "is not known", "this command", f"use one of: {listed}")
    if alarm_id in acknowledged(settings):
        return
    entry = {"alarm_id": alarm_id, "seen_on": seen_on} | ({"note": note} if note else {})
    LOG.append(settings, "acknowledged", entry)


def load(connection: warehouse.Connection, settings: Settings) -> None:
    """Put the acknowledgements into shop.acknowledgements, for the analyses to read."""
    typed = ", ".join(f"{name} {column.sql_type}" for name, column in TABLES[TABLE].columns.items())
    connection.execute(f"create or replace table {TABLE} ({typed})")
    for alarm_id in acknowledged(settings):
        connection.execute(f"insert into {TABLE} values (?)", [alarm_id])
