"""A file whose rows are counted within what they have in common: lines of a sale that no column numbers."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from models.column_map.whole_rows import places_within
from models.settings.sources import LINE_NUMBER
from pipelines.intake.reading.beside import copy_with
from pipelines.intake.reading.tables import Kept, Table
from pipelines.shop.warehouse import Connection


@dataclass(frozen=True)
class CountedTable:
    """The file's rows in their order, each with its place among those with its cell of the column `within`."""

    main: Table
    within: str

    @property
    def headers(self) -> tuple[str, ...]:
        return (*self.main.headers, LINE_NUMBER)

    @property
    def rows(self) -> Sequence[Sequence[str]]:
        at = self.main.headers.index(self.within)
        places = places_within(row[at] for row in self.main.rows)
        return [(*row, place) for row, place in zip(self.main.rows, places, strict=True)]

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        """The file by its own reader, then counted by the engine. Raises SourceFileError."""
        within = Kept(self.within, self.main.headers.index(self.within))
        copy_with(connection, self.main, {LINE_NUMBER: _place}, kept, target, [within])


def _place(within: str) -> str:
    return f"cast(row_number() over (partition by trim({within}) order by m.file_row_number) as varchar)"
