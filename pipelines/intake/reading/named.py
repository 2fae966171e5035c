"""A file whose name states what its rows do not, as the number of an invoice."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from models.sql_quoting import literal
from pipelines.intake.reading.beside import copy_with
from pipelines.intake.reading.tables import Kept, Table, source_error
from pipelines.shop.warehouse import Connection


def part_of(pattern: str, name: str) -> str:
    """What the one `*` of the pattern stands for in the file's name. Raises SourceFileError where that is nothing."""
    before, _, behind = pattern.partition("*")
    bare = name.rpartition("/")[2]
    bare = bare[:-3] if bare.lower().endswith(".gz") and not behind.lower().endswith(".gz") else bare
    part = bare[len(before) : len(bare) - len(behind)].strip()
    if not (bare.startswith(before) and bare.endswith(behind) and part):
        raise source_error(name, f"is not named as {pattern!r}", "correct `name` in the map, or name the file so")
    return part


@dataclass(frozen=True)
class NamedTable:
    """The file's rows, each with what the file's name states. named: header -> text."""

    main: Table
    named: Mapping[str, str]

    @property
    def headers(self) -> tuple[str, ...]:
        return (*self.main.headers, *self.named)

    @property
    def rows(self) -> Sequence[Sequence[str]]:
        return [(*row, *self.named.values()) for row in self.main.rows]

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        """The file by its own reader, then the texts beside each row. Raises SourceFileError."""
        made = {header: partial(literal, text) for header, text in self.named.items()}
        copy_with(connection, self.main, made, kept, target)
