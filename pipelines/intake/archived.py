"""Where the archive keeps what was read of a file, and its rows as the engine reads them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from pipelines.intake.reading.plain_paths import plain_folder
from pipelines.intake.reading.tables import BESIDE, kept_name, literal, quoted
from pipelines.shop.settings import Settings


def entry_path(settings: Settings, delivery_id: int) -> Path:
    """Where the entry of a delivery or withdrawal lies."""
    return settings.path("archive") / f"delivery-{delivery_id:06}.json"


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
