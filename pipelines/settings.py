"""The shop's dunnage.toml: the shop, its folders, the engine's limits and the column maps of its sources."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any, TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from models.carton_settings import Cartons, checked_cartons
from models.damage_settings import Damage, checked_damage
from models.errors import SettingsError
from models.mail_settings import Mail, checked_mail
from models.near_miss_settings import NearMisses, checked_near_misses
from models.reference import RECORDS
from models.spark_settings import Spark, check_engine, checked_spark
from models.timetable import Schedule, checked_schedule

FILE_NAME = "dunnage.toml"
FORMATS = ("csv", "tsv", "xlsx", "json", "jsonl", "parquet")
DATE_ORDERS = ("dmy", "mdy", "ymd")


@dataclass(frozen=True)
class Shop:
    """Who ships. Amounts are minor units of `currency`; times without a zone are in `time_zone`."""

    name: str = "My shop"
    currency: str = "USD"
    time_zone: str = "UTC"
    wage_cents_per_hour: int = 0
    # Costs of a parcel are shared by each item's own chargeable weight: the greater of weight and volume / this.
    sharing_divisor_in3_per_lb: float = 139.0


@dataclass(frozen=True)
class Folders:
    """Where things lie, relative to dunnage.toml."""

    inbox: str = "inbox"
    archive: str = "archive"
    rejects: str = "rejects"
    reviews: str = "reviews"
    tariffs: str = "tariffs"
    outbox: str = "outbox"


@dataclass(frozen=True)
class Engine:
    """What builds the tables, and limits for the engine on this machine; `threads` 0 means all cores."""

    kind: str = "duckdb"
    memory_limit: str = "4GB"
    threads: int = 0


@dataclass(frozen=True)
class ColumnSource:
    """Where one contract column comes from: a source column, a constant `value`, or the `row` number."""

    column: str | None = None
    value: str | None = None
    row: bool = False
    unit: str | None = None
    decimal: str | None = None
    date_order: str | None = None
    values: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Source:
    """One kind of file the shop receives, and how to read it. `decimal` and `date_order` are None where not stated.

    Where `header` is false the columns are named by their place: "1", "2", ...
    """

    name: str
    kind: str
    files: str
    columns: Mapping[str, ColumnSource]
    format: str = "csv"
    delimiter: str = ","
    encoding: str = "utf-8"
    decimal: str | None = None
    date_order: str | None = None
    sheet: str | None = None
    header: bool = True


@dataclass(frozen=True)
class Settings:
    """Everything dunnage.toml says. `folder` is where it lies."""

    folder: Path
    shop: Shop = Shop()
    folders: Folders = Folders()
    engine: Engine = Engine()
    spark: Spark = field(default_factory=Spark)
    sources: tuple[Source, ...] = ()
    damage: Damage = field(default_factory=Damage)
    cartons: Cartons = field(default_factory=Cartons)
    near_misses: NearMisses = field(default_factory=NearMisses)
    mail: Mail = field(default_factory=Mail)
    schedule: Schedule = field(default_factory=Schedule)

    def path(self, name: str) -> Path:
        """One of the shop's folders, made if missing, readable by its owner only."""
        found = self.folder / str(getattr(self.folders, name))
        found.mkdir(mode=0o700, parents=True, exist_ok=True)
        return found


Section = TypeVar("Section")


def load_from(folder: Path | None) -> Settings:
    """The settings of FOLDER, by default of the current folder. Raises SettingsError."""
    return load(folder or Path())


def load(folder: Path) -> Settings:
    """Read FOLDER/dunnage.toml. Raises SettingsError that names the setting."""
    path = folder / FILE_NAME
    stated = _parsed(path)
    known = {"shop", "folders", "engine", "spark", "source", "damage", "cartons", "near_misses", "mail", "schedule"}
    _refuse_unknown(stated, known, str(path))
    return Settings(
        folder=folder.resolve(),
        shop=_with_zone(_section(Shop, stated.get("shop", {}), f"{path} [shop]"), path),
        folders=_section(Folders, stated.get("folders", {}), f"{path} [folders]"),
        engine=_with_kind(_section(Engine, stated.get("engine", {}), f"{path} [engine]"), path),
        spark=checked_spark(_section(Spark, stated.get("spark", {}), f"{path} [spark]"), f"{path} [spark]"),
        sources=tuple(source(table, f"{path} [[source]] {n}") for n, table in enumerate(stated.get("source", []), 1)),
        damage=checked_damage(_section(Damage, stated.get("damage", {}), f"{path} [damage]"), f"{path} [damage]"),
        cartons=checked_cartons(_section(Cartons, stated.get("cartons", {}), f"{path} [cartons]"), f"{path} [cartons]"),
        near_misses=checked_near_misses(
            _section(NearMisses, stated.get("near_misses", {}), f"{path} [near_misses]"), f"{path} [near_misses]"
        ),
        mail=checked_mail(_section(Mail, stated.get("mail", {}), f"{path} [mail]"), f"{path} [mail]"),
        schedule=checked_schedule(
            _section(Schedule, stated.get("schedule", {}), f"{path} [schedule]"), f"{path} [schedule]"
        ),
    )


def _parsed(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise SettingsError(
            str(path), "does not exist", "every command", "run `dunnage init` or name the shop's folder with --shop"
        ) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as wrong:
        raise SettingsError(str(path), f"is not valid TOML: {wrong}", "every command", "mend that line") from None


def _refuse_unknown(stated: Mapping[str, Any], known: set[str], where: str) -> None:
    unknown = sorted(set(stated) - known)
    if unknown:
        raise SettingsError(
            where,
            f"unknown setting {', '.join(unknown)}",
            "the whole file; nothing was read",
            f"use one of {', '.join(sorted(known))}",
        )


def _section(kind: type[Section], stated: Mapping[str, Any], where: str) -> Section:
    defaults = kind()
    types = {each.name: type(getattr(defaults, each.name)) for each in fields(kind)}  # type: ignore[arg-type]
    _refuse_unknown(stated, set(types), where)
    for name, value in stated.items():
        if not _is_of(value, types[name]):
            raise SettingsError(
                where, f"{name} = {value!r} is no {types[name].__name__}", "every command", "mend that value"
            )
    return kind(**stated)


def _is_of(value: object, wanted: type) -> bool:
    if wanted is float:
        return isinstance(value, int | float) and not isinstance(value, bool)
    return isinstance(value, wanted) and (wanted is bool or not isinstance(value, bool))


def _with_kind(engine: Engine, path: Path) -> Engine:
    check_engine(engine.kind, f"{path} [engine]")
    return engine


def _with_zone(shop: Shop, path: Path) -> Shop:
    try:
        ZoneInfo(shop.time_zone)
    except (ZoneInfoNotFoundError, ValueError):
        raise SettingsError(
            f"{path} [shop]",
            f"time_zone {shop.time_zone!r} is not known",
            "every time",
            "use an IANA name such as Europe/Berlin",
        ) from None
    return shop


def source(table: Mapping[str, Any], where: str) -> Source:
    """One [[source]] table. Raises SettingsError for an unknown kind, format, column or word."""
    stated = dict(table)
    _refuse_unknown(stated, {each.name for each in fields(Source)}, where)
    _need(stated, ("name", "kind", "files", "columns"), where)
    _choose(stated["kind"], tuple(RECORDS), "kind", where)
    _choose(stated.get("format", "csv"), FORMATS, "format", where)
    _refuse_unknown(stated["columns"], set(RECORDS[stated["kind"]].columns), f"{where} columns")
    columns = {name: _column_source(said, f"{where} columns {name}") for name, said in stated["columns"].items()}
    return replace(Source(**{**stated, "columns": {}}), columns=columns)


def _need(stated: Mapping[str, Any], names: tuple[str, ...], where: str) -> None:
    missing = [name for name in names if name not in stated]
    if missing:
        raise SettingsError(where, f"lacks {', '.join(missing)}", "files of this source", "state it")


def _choose(value: object, among: tuple[str, ...], name: str, where: str) -> None:
    if value not in among:
        raise SettingsError(
            where, f"{name} = {value!r} is not known", "files of this source", f"use one of {', '.join(among)}"
        )


def _column_source(said: object, where: str) -> ColumnSource:
    if isinstance(said, str):
        return ColumnSource(column=said)
    if not isinstance(said, dict):
        raise SettingsError(where, "is neither a header nor a table", "files of this source", 'write name = "Header"')
    _refuse_unknown(said, {each.name for each in fields(ColumnSource)}, where)
    origins = sum([said.get("column") is not None, said.get("value") is not None, bool(said.get("row"))])
    if origins != 1:
        raise SettingsError(
            where, "must state one of column, value, row", "files of this source", "state exactly one of them"
        )
    if said.get("date_order") is not None:
        _choose(said["date_order"], DATE_ORDERS, "date_order", where)
    return ColumnSource(**said)
