"""The sections of the settings for a shop too large for one machine: which engine builds, and where Spark is."""

from dataclasses import dataclass, field
from typing import Annotated, ClassVar

from pydantic import Field

from models.settings.types import Memory, Plain, Section, UrlOrFolder, Words, among

ENGINES = ("duckdb", "spark")


@dataclass(frozen=True)
class Engine(Section):
    """What builds the tables, and limits for the engine on this machine; `threads` 0 means all cores."""

    affected: ClassVar[str] = "every build of this shop"

    kind: Annotated[str, among(ENGINES)] = "duckdb"
    memory_limit: Memory = "4GB"
    threads: Annotated[int, Field(ge=0, le=1024)] = 0


@dataclass(frozen=True)
class Spark(Section):
    """Where Spark computes and where it keeps the shop's records as Parquet.

    master: as Spark writes it (`local[2]`, `spark://host:7077`); empty for what Spark's own configuration says.
    storage: a folder beside dunnage.toml, or a URL that Spark reads and writes; one shop each.
    options: Spark's own settings by their full names.
    """

    affected: ClassVar[str] = "every build of this shop"

    master: Plain = "local[*]"
    storage: UrlOrFolder = "storage"
    options: dict[Words, Plain] = field(default_factory=dict)
