"""Parquet: typed columns, written as the text a person would write, so that one way of reading serves all formats."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from models.privacy import blanked_sql
from models.settings.reading_limits import Limits
from models.sql_quoting import literal, quoted
from pipelines.intake.reading.archive_notes import metadata_sql
from pipelines.intake.reading.finding import Content
from pipelines.intake.reading.plain_paths import plain_file, plain_folder
from pipelines.intake.reading.tables import (
    AS_FOUND,
    FAULT,
    FAULT_COLUMN,
    LINE,
    SHOWN_CHARACTERS,
    Kept,
    kept_name,
    refuse_shape,
    sample_rows,
    source_error,
)
from pipelines.shop.warehouse import Connection, EngineError, bare

_NESTED = ("STRUCT", "MAP", "UNION", "VARIANT")
_TEXTS = ("VARCHAR", "BLOB")
_LINK = "source.parquet"


@dataclass(frozen=True)
class ParquetFile:
    """An opened Parquet file; `types` are the engine's types of its columns, `engine` reads nothing else."""

    content: Content
    headers: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    types: tuple[str, ...]
    engine: Connection
    limits: Limits

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        nested = [column for column in kept if _is_nested(self.types[column.place])]
        if nested:
            raise source_error(
                self.content.name,
                f"column {nested[0].header!r} holds lists or objects",
                "export it with one value in each cell, or leave it out of the column map",
            )
        try:
            with plain_file(self.content.path, target.parent, _LINK) as path, plain_folder(target.parent) as folder:
                texts = [column.header for column in kept if self.types[column.place] in _TEXTS]
                query = self._reported(kept, _origin(path, len(self.types)))
                options = f"format parquet, codec 'zstd'{metadata_sql((), texts)}"
                self.engine.execute(f"copy ({query}) to {literal(str(folder / target.name))} ({options})")
        except EngineError as broken:
            raise _damaged(self.content, broken) from None

    def _reported(self, kept: Sequence[Kept], origin: str) -> str:
        """SQL for the kept columns, with the first fault of each row."""
        most = self.limits.longest_cell
        texts = ", ".join(f"{_as_text(c, self.types[c.place])} as t{number}" for number, c in enumerate(kept))
        faults = [
            *(_fault(f"{kept_name(c.place)} is not null and t{n} is null", c, "holds bytes that are not text")
              for n, c in enumerate(kept) if self.types[c.place] == "BLOB"),
            *(_fault(f"length(t{n}) > {most}", c, f"has more than {most:,} characters; only the first are shown")
              for n, c in enumerate(kept)),
        ]  # fmt: skip
        cut = (
            f"case when length(t{n}) > {most} then left(t{n}, {SHOWN_CHARACTERS}) else t{n} end"
            for n in range(len(kept))
        )
        blank = (blanked_sql(f"({text})", phones=c.has_phones) for text, c in zip(cut, kept, strict=True))
        named = ", ".join(f"{text} as {kept_name(number)}" for number, text in enumerate(blank))
        return (
            f"select {named}, f.place as {quoted(FAULT_COLUMN)}, f.reason as {quoted(FAULT)}, "
            f"cast(null as varchar) as {quoted(AS_FOUND)}, cast(null as bigint) as {quoted(LINE)} "
            f"from (select *, case {' '.join(faults)} else {{'place': null, 'reason': null}} end as f "
            f"from (select *, {texts} from {origin}))"
        )


def open_parquet(content: Content, scratch: Path, limits: Limits) -> ParquetFile:
    """Read the columns, their types and the first rows. Raises SourceFileError."""
    engine = _engine()
    try:
        engine.execute(f"set memory_limit = '{limits.memory_bytes(content.byte_count) // 2}B'")
        with plain_file(content.path, scratch, _LINK) as path:
            names = _names(engine, path)
            refuse_shape(names, content.name, limits)
            described = engine.execute(f"describe select * from {_origin(path, len(names))}").fetchall()
            types = tuple(str(column[1]) for column in described)
            columns = [Kept(name, place, decimal=None) for place, name in enumerate(names)]
            texts = ", ".join(f"left({_as_text(c, types[c.place])}, {SHOWN_CHARACTERS})" for c in columns)
            query = f"select {texts} from {_origin(path, len(names))} limit {sample_rows(len(names))}"
            found = engine.execute(query).fetchall()
    except EngineError as broken:
        raise _damaged(content, broken) from None
    rows = tuple(tuple(cell or "" for cell in row) for row in found)
    return ParquetFile(content, _distinguished(names), rows, types, engine, limits)


@cache
def _engine() -> Connection:
    """One engine for every file: to open one takes longer than to read a small file."""
    return bare()


def _origin(path: Path, width: int) -> str:
    """The rows; columns are named by their place, since the engine takes `Price` and `price` for one name."""
    named = ", ".join(kept_name(place) for place in range(width))
    return f"read_parquet({literal(str(path))}, hive_partitioning=false) as source({named})"


def _names(engine: Connection, path: Path) -> list[str]:
    """The file's own names of its columns, without what lies within them."""
    listed = engine.execute(
        f"select name, coalesce(num_children, 0) from parquet_schema({literal(str(path))})"
    ).fetchall()
    names, within = [], 0
    for name, children in listed[1:]:
        if not within:
            names.append(str(name))
        within += int(children) - bool(within)
    return names


def _distinguished(names: Sequence[str]) -> tuple[str, ...]:
    """The names as they are; one that a file has twice is numbered by its place."""
    return tuple(f"{name} ({place})" if names.count(name) > 1 else name for place, name in enumerate(names, 1))


def _damaged(content: Content, broken: EngineError) -> Exception:
    return source_error(content.name, f"is no Parquet file, or a damaged one: {str(broken).splitlines()[0]}")


def _fault(condition: str, column: Kept, reason: str) -> str:
    return f"when {condition} then {{'place': {literal(column.header)}, 'reason': {literal(reason)}}}"


def _is_nested(kind: str) -> bool:
    return kind.endswith("]") or kind.startswith(_NESTED)


def _as_text(column: Kept, kind: str) -> str:
    cell = kept_name(column.place)
    if kind == "BLOB":
        return f"try(decode({cell}))"
    if kind == "BOOLEAN":
        return f"(case when {cell} then 'yes' when not {cell} then 'no' end)"
    if kind in ("DOUBLE", "FLOAT"):
        return _marked(_number_text(cell, kind), column)
    text = f"cast({cell} as varchar)"
    return _marked(text, column) if kind.startswith("DECIMAL") else text


def _marked(text: str, column: Kept) -> str:
    if column.decimal is None:
        # As in `cell_texts.native_number`: a zero more where three figures could be a group.
        return f"regexp_replace({text}, '\\.([0-9]{{3}})$', '.\\10')"
    return text if column.decimal == "." else f"replace({text}, '.', {literal(column.decimal)})"


def _number_text(cell: str, kind: str) -> str:
    """As cell_texts.number_text; a single-precision number by the fewest figures that give it again (6 to 9)."""
    text, number = f"cast({cell} as varchar)", cell
    if kind == "DOUBLE":
        number = f"cast(printf('%.15g', {cell}) as double)"
        text = f"case when isfinite({cell}) then cast({number} as varchar) else {text} end"
    is_whole = f"isfinite({cell}) and {number} = trunc({number}) and abs({number}) < 1e15"
    return f"(case when {is_whole} then cast(cast({number} as bigint) as varchar) else {text} end)"
