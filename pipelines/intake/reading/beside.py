"""Copies a table with columns that its map makes beside those of its rows."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from models.sql_quoting import literal
from pipelines.intake.reading.archive_notes import metadata_sql, notes_of, texts_of
from pipelines.intake.reading.delimited import lined_sql
from pipelines.intake.reading.tables import Kept, Table, kept_name
from pipelines.shop.warehouse import Connection


def copy_with(
    connection: Connection,
    main: Table,
    made: Mapping[str, Callable[..., str]],
    kept: Sequence[Kept],
    target: Path,
    read: Sequence[Kept] = (),
) -> None:
    """The table by its own reader, then its rows in their order with the columns made. Raises SourceFileError.

    made: header -> gives the SQL of its column, by that of the cells of each column in `read`.
    """
    own = [column for column in kept if column.header not in made]
    beside = target.with_name("beside-main.parquet")
    main.copy(connection, [*own, *read], beside)
    needed = [f"m.{kept_name(len(own) + at)}" for at in range(len(read))]
    cells = {each.header: f"m.{kept_name(at)}" for at, each in enumerate(own)}
    cells |= {header: column(*needed) for header, column in made.items()}
    columns = [f"{cells[each.header]} as {kept_name(at)}" for at, each in enumerate(kept)]
    try:
        connection.execute(
            f"copy (select {', '.join([*columns, *lined_sql(main)])} "
            f"from read_parquet({literal(str(beside))}, file_row_number = true) as m order by m.file_row_number) "
            f"to {literal(str(target))} (format parquet{metadata_sql(notes_of(beside), sorted(texts_of(beside)))})"
        )
    finally:
        beside.unlink(missing_ok=True)
