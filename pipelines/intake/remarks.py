"""Clears an archived file's remarks of the persons whom its personal columns name, before it leaves the scratch folder.

The personal columns are read beside it, into the scratch folder only, and compared row by row. One way serves every
format. Where a remark looks as if it held a name or a street that no column gives away, that is noted and left.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq

from models.errors import SourceFileError
from models.fields import LONGEST_TEXT
from models.persons import doubtful, folded, without_repeated
from models.persons.words import words
from models.sql_quoting import literal
from models.visible import counted
from pipelines.intake.archive_entries import noted_beside
from pipelines.intake.columns import Layout
from pipelines.intake.reading.delimited import DelimitedFile
from pipelines.intake.reading.plain_paths import plain_folder
from pipelines.intake.reading.tables import LINE, Table, kept_name
from pipelines.shop import durable
from pipelines.shop.warehouse import Connection

_ROWS_AT_ONCE = 20_000
_MOST_LISTED = 10
# What the shop calls its goods and its ways of packing: never a person.
_KNOWN_WORDS = """
    select item_type from accepted.item_types union select item_type from accepted.skus
    union select packing_method from accepted.packing_methods
"""


@dataclass
class Remarks:
    """What was noticed in the remarks of a file.

    doubtful: header -> lines (rows, where a file has no lines) in which a street or a name may stand. uncompared:
    personal columns that could not be compared with the remarks.
    """

    doubtful: dict[str, list[int]] = field(default_factory=dict)
    uncompared: tuple[str, ...] = ()
    place: str = "row"

    def notes(self) -> Iterator[str]:
        """In words, for who imports."""
        for header, places in self.doubtful.items():
            listed = ", ".join(map(str, places[:_MOST_LISTED]))
            more = f" and {len(places) - _MOST_LISTED} more" if len(places) > _MOST_LISTED else ""
            where = f"{self.place}{'s' if len(places) > 1 else ''} {listed}{more}"
            yield f"in {counted(len(places), 'row')} of `{header}` a street or a name may stand: {where}"
        if self.uncompared:
            yield f"remarks were not compared with {', '.join(self.uncompared)}, which hold lists or objects"


def clear_remarks(connection: Connection, table: Table, layout: Layout, fresh: Path) -> Remarks:
    """Blank in the file `fresh` what remarks repeat of personal columns; say where more may stand."""
    found = Remarks()
    if not layout.remarks:
        return found
    beside = fresh.with_name("personal.parquet")
    named = _names(layout)
    try:
        held = _personal(connection, table, layout, beside, found)
        cleared: dict[int, Mapping[str, str]] = {}
        known = _known_words(connection) if held else frozenset()
        doubts: dict[str, list[int]] = {}
        for number, texts, persons in _rows(connection, layout, fresh, beside if held else None):
            changed = {name: _cleared(text, persons, known) for name, text in texts.items() if text}
            for header, text in changed.items():
                if _is_doubtful(text):
                    doubts.setdefault(header, []).append(number)
            if any(texts[header] != text for header, text in changed.items()):
                cleared[number] = {named[header]: text for header, text in changed.items()}
        found.doubtful = _placed(connection, table, fresh, doubts, found)
    finally:
        beside.unlink(missing_ok=True)
    if cleared:
        _write_again(fresh, cleared)
    return found


def _personal(connection: Connection, table: Table, layout: Layout, beside: Path, found: Remarks) -> bool:
    """Read the personal columns, row by row as the kept ones; whether there are any to compare."""
    if not layout.personal:
        return False
    try:
        table.copy(connection, layout.personal, beside)
    except SourceFileError:
        found.uncompared = tuple(layout.dropped)
        return False
    return True


def _known_words(connection: Connection) -> frozenset[str]:
    names = (str(name) for (name,) in connection.execute(_KNOWN_WORDS).fetchall() if name)
    return frozenset(folded(word.text) for name in names for word in words(name))


Persons = Mapping[str, Sequence[str]]


def _rows(
    connection: Connection, layout: Layout, fresh: Path, beside: Path | None
) -> Iterator[tuple[int, dict[str, str | None], Persons]]:
    """Each row with a remark: its number from 1, the remarks by header, and what its personal columns hold by kind."""
    named = _names(layout)
    remarks = [f"kept.{named[header]}" for header in layout.remarks]
    personal = [f"held.{kept_name(number)}" for number in range(len(layout.personal))] if beside else []
    with plain_folder(fresh.parent) as folder:
        joined = f" inner join {_read(folder / beside.name)} as held using (file_row_number)" if beside else ""
        cursor = connection.execute(
            f"select file_row_number + 1, {', '.join([*remarks, *personal])} "
            f"from {_read(folder / fresh.name)} as kept{joined} "
            f"where {' or '.join(f'{remark} is not null' for remark in remarks)} order by file_row_number"
        )
        while batch := cursor.fetchmany(_ROWS_AT_ONCE):
            for number, *cells in batch:
                texts = dict(zip(layout.remarks, cells, strict=False))
                yield number, texts, _by_kind(layout, cells[len(remarks) :])


def _names(layout: Layout) -> dict[str, str]:
    """Header -> the name of its column in the archived file."""
    return {column.header: kept_name(number) for number, column in enumerate(layout.kept)}


def _read(path: Path) -> str:
    return f"read_parquet({literal(str(path))}, file_row_number=true)"


def _by_kind(layout: Layout, cells: Sequence[str | None]) -> Persons:
    held: dict[str, list[str]] = {}
    for column, cell in zip(layout.personal, cells, strict=False):
        if cell:
            held.setdefault(layout.dropped[column.header], []).append(cell)
    return held


def _cleared(text: str, persons: Persons, known: Collection[str]) -> str:
    """The remark without the row's persons; not longer than a contract allows where it was not so before."""
    without = without_repeated(text, persons, known) if persons else text
    is_grown = len(without) > LONGEST_TEXT >= len(text)
    return without[: LONGEST_TEXT - 1] + "…" if is_grown else without


@lru_cache(maxsize=100_000)
def _is_doubtful(text: str) -> bool:
    return bool(doubtful(text))


def _placed(
    connection: Connection, table: Table, fresh: Path, doubts: Mapping[str, list[int]], found: Remarks
) -> dict[str, list[int]]:
    """Rows as the lines of the source where it has lines."""
    if not doubts or not isinstance(table, DelimitedFile):
        return dict(doubts)
    found.place = "line"
    numbers = {number for rows in doubts.values() for number in rows}
    lines = noted_beside(connection, fresh, LINE, sorted(numbers))
    shift = table.line_shift()
    return {header: [lines.get(number, number + shift) for number in rows] for header, rows in doubts.items()}


def _write_again(fresh: Path, cleared: Mapping[int, Mapping[str, str]]) -> None:
    """The file with those cells replaced; all else, its notes among it, as it was."""
    with (
        durable.replacing(fresh) as again,
        pq.ParquetFile(fresh) as source,
        pq.ParquetWriter(again, source.schema_arrow, compression="zstd") as writer,
    ):
        before = 0
        for batch in source.iter_batches(_ROWS_AT_ONCE):
            here = {number - before - 1: cleared[number] for number in _within(cleared, before, batch.num_rows)}
            writer.write_batch(_replaced(batch, here))
            before += batch.num_rows
        noted = source.metadata.metadata or {}
        writer.add_key_value_metadata({name: text for name, text in noted.items() if name != b"ARROW:schema"})


def _within(cleared: Mapping[int, object], before: int, count: int) -> Iterator[int]:
    return (number for number in range(before + 1, before + count + 1) if number in cleared)


def _replaced(batch: pa.RecordBatch, here: Mapping[int, Mapping[str, str]]) -> pa.RecordBatch:
    columns = []
    for name, column in zip(batch.schema.names, batch.columns, strict=True):
        fresh = {place: texts[name] for place, texts in here.items() if name in texts}
        cells = column.to_pylist() if fresh else []
        for place, text in fresh.items():
            cells[place] = text
        columns.append(pa.array(cells, column.type) if fresh else column)
    return pa.RecordBatch.from_arrays(columns, schema=batch.schema)
