"""Where the archive keeps what was read of a file, and its rows as the engine reads them."""

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from models.sql_quoting import literal, quoted
from pipelines.intake.reading.plain_paths import plain_folder
from pipelines.intake.reading.tables import BESIDE, kept_name
from pipelines.shop.settings import Settings
from pipelines.shop.warehouse import Connection


def entry_path(settings: Settings, delivery_id: int) -> Path:
    """Where the entry of a delivery or withdrawal lies."""
    return settings.path("archive") / f"delivery-{delivery_id:06}.json"


def entry_of(settings: Settings, delivery_id: int) -> tuple[dict[str, Any], Path | None]:
    """A delivery's entry and its archived file; an empty one and None where the archive lacks them."""
    path = entry_path(settings, delivery_id)
    entry: dict[str, Any] = json.loads(path.read_bytes()) if path.exists() else {}
    archived = path.parent / str(entry.get("file"))
    return entry, archived if archived.exists() else None


def noted_beside(
    connection: Connection, archived: Path, column: str, numbers: Sequence[int], also: str = "true"
) -> dict[int, Any]:
    """Row number -> what a column beside the kept ones says of the row, where it says anything; also: a condition."""
    with origin(archived) as rows:
        return dict(
            connection.execute(
                f"select file_row_number + 1, {quoted(column)} from {rows} where {quoted(column)} is not null "
                f"and {also} and list_contains(?, file_row_number + 1) order by 1",
                [list(numbers)],
            ).fetchall()
        )


@contextmanager
def origin(archived: Path, columns: Sequence[str] | None = None) -> Iterator[str]:
    """SQL for the rows of an archived file, with file_row_number.

    columns: the kept columns' names in the file, where they are not simply numbered in their order.
    """
    wanted = [kept_name(number) for number in range(len(columns or ()))]
    named = [f"{quoted(name)} as {kept}" for name, kept in zip(columns or (), wanted, strict=True)]
    beside = [quoted(name) for name, _ in BESIDE]
    with plain_folder(archived.parent) as folder:
        rows = f"read_parquet({literal(str(folder / archived.name))}, file_row_number=true)"
        is_so = columns is None or list(columns) == wanted
        yield rows if is_so else f"(select {', '.join([*named, *beside, 'file_row_number'])} from {rows})"
