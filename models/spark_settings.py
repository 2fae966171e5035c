"""The sections of the settings for a shop that has outgrown one machine: which engine builds, and where Spark is."""

from __future__ import annotations

from dataclasses import dataclass, field

from models.errors import SettingsError

ENGINES = ("duckdb", "spark")


@dataclass(frozen=True)
class Spark:
    """Where Spark computes and where it keeps the shop's records as Parquet.

    master: as Spark writes it (`local[2]`, `spark://host:7077`); empty for what Spark's own configuration says.
    storage: a folder beside dunnage.toml, or a URL that Spark reads and writes; one shop each.
    options: Spark's own settings by their full names.
    """

    master: str = "local[*]"
    storage: str = "storage"
    options: dict[str, str] = field(default_factory=dict)


def checked_spark(spark: Spark, where: str) -> Spark:
    """The section if it can be used. Raises SettingsError that names the setting."""
    if not spark.storage.strip("/ "):
        raise _wrong(where, "storage is empty", "name a folder or a URL for this shop's records")
    for name, value in spark.options.items():
        if not isinstance(value, str):
            raise _wrong(where, f"option {name} = {value!r} is no text", f'write "{name}" = "..."')
    return spark


def check_engine(kind: str, where: str) -> None:
    """Raise SettingsError where no engine is called so."""
    if kind not in ENGINES:
        raise _wrong(where, f"kind = {kind!r} is not known", f"use one of {', '.join(ENGINES)}")


def _wrong(where: str, what: str, next_step: str) -> SettingsError:
    return SettingsError(where, what, "every build of this shop", next_step)
