"""Parquet: typed columns, written as the text a person would write, so that one way of reading serves all formats."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from models.privacy import blanked_sql
from pipelines.reading.finding import Content
from pipelines.reading.tables import SAMPLE_ROWS, Kept, beside_sql, literal, quoted, source_error
from pipelines.settings import Source
from pipelines.warehouse import Connection, EngineError

_NESTED = ("STRUCT", "MAP", "UNION", "BLOB")


@dataclass(frozen=True)
class ParquetFile:
    """An opened Parquet file; `types` are the engine's types of its columns."""

    path: Path
    content: Content
    headers: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    types: tuple[str, ...]

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        nested = [column for column in kept if _is_nested(self.types[column.place])]
        if nested:
            raise source_error(
                self.content.name,
                f"column {nested[0].header!r} holds lists or objects",
                "export it with one value in each cell, or leave it out of the column map",
            )
        texts = [f"{self._kept_text(column)} as {quoted(column.header)}" for column in kept]
        selected = ", ".join([*texts, beside_sql()])
        try:
            connection.execute(
                f"copy (select {selected} from read_parquet({literal(str(self.path))})) "
                f"to {literal(str(target))} (format parquet, codec 'zstd')"
            )
        except EngineError as broken:
            raise _damaged(self.content, broken) from None

    def _kept_text(self, column: Kept) -> str:
        text = _as_text(column.header, self.types[column.place], column.decimal)
        return blanked_sql(text, phones=column.has_phones)


def open_parquet(connection: Connection, path: Path, content: Content, source: Source) -> ParquetFile:
    """Read the columns, their types and the first rows. Raises SourceFileError."""
    origin = f"read_parquet({literal(str(path))})"
    try:
        described = connection.execute(f"describe select * from {origin}").fetchall()
        names = [str(column[0]) for column in described]
        types = tuple(str(column[1]) for column in described)
        texts = ", ".join(_as_text(name, kind, None) for name, kind in zip(names, types, strict=True))
        found = connection.execute(f"select {texts} from {origin} limit {SAMPLE_ROWS}").fetchall()
    except EngineError as broken:
        raise _damaged(content, broken) from None
    rows = tuple(tuple(cell or "" for cell in row) for row in found)
    return ParquetFile(path, content, tuple(names), rows, types)


def _damaged(content: Content, broken: EngineError) -> Exception:
    return source_error(content.name, f"is no Parquet file, or a damaged one: {str(broken).splitlines()[0]}")


def _is_nested(kind: str) -> bool:
    return kind.endswith("]") or kind.startswith(_NESTED)


def _as_text(name: str, kind: str, decimal: str | None) -> str:
    cell = quoted(name)
    text = f"cast({cell} as varchar)"
    if kind == "BOOLEAN":
        return f"(case when {cell} then 'yes' when not {cell} then 'no' end)"
    if kind in ("DOUBLE", "FLOAT"):
        # A count or a number of a parcel that became a float on the way is written without its `.0`.
        is_whole = f"{cell} = trunc({cell}) and abs({cell}) < 1e15"
        text = f"(case when {is_whole} then cast(cast({cell} as bigint) as varchar) else {text} end)"
    if kind in ("DOUBLE", "FLOAT") or kind.startswith("DECIMAL"):
        if decimal is not None:
            return f"replace({text}, '.', {literal(decimal)})"
        # As in `native_number`: a zero more where three figures could be a group.
        return f"regexp_replace({text}, '\\.([0-9]{{3}})$', '.\\10')"
    return text
