"""A file whose rows are counted within what they have in common: lines of a sale that no column numbers."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from models.column_map.whole_rows import places_within
from models.settings.sources import LINE_NUMBER
from models.sql_quoting import literal
from pipelines.intake.reading.archive_notes import metadata_sql, notes_of, texts_of
from pipelines.intake.reading.delimited import lined_sql
from pipelines.intake.reading.tables import Kept, Table, kept_name
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
        own = [column for column in kept if column.header != LINE_NUMBER]
        main = target.with_name("counted-main.parquet")
        self.main.copy(connection, [*own, Kept(self.within, self.main.headers.index(self.within))], main)
        place = f"row_number() over (partition by trim(m.{kept_name(len(own))}) order by m.file_row_number)"
        cells = {each.header: f"m.{kept_name(at)}" for at, each in enumerate(own)}
        cells[LINE_NUMBER] = f"cast({place} as varchar)"
        columns = [f"{cells[each.header]} as {kept_name(at)}" for at, each in enumerate(kept)]
        try:
            connection.execute(
                f"copy (select {', '.join([*columns, *lined_sql(self.main)])} "
                f"from read_parquet({literal(str(main))}, file_row_number = true) as m order by m.file_row_number) "
                f"to {literal(str(target))} (format parquet{metadata_sql(notes_of(main), sorted(texts_of(main)))})"
            )
        finally:
            main.unlink(missing_ok=True)
