"""From archived text to typed, checked rows in the temporary table `staged`.

The engine types what is canonical. It hands over only the distinct texts it cannot read; they come back as small
tables of text, value and reason, and are joined in the one pass that types, checks and numbers all rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import pyarrow as pa

from models.cells import Reading, read_cell
from models.contracts import sql_type
from models.fields import SQL_TYPES, Quantity
from models.predicates import predicates
from models.privacy import BLANKED_EMAIL, BLANKED_PHONE
from models.reference import RECORDS
from pipelines.intake.columns import Layout
from pipelines.intake.readings import fast_reading
from pipelines.intake.tables import AS_FOUND, FAULT, FAULT_COLUMN, LINE, REJECT_REF, literal, quoted
from pipelines.settings import Source
from pipelines.warehouse import Connection

# What is cut off at both ends of a cell: blanks, tabs, line breaks, no-break blanks, a byte order mark.
_BLANKS = "' ' || chr(9) || chr(10) || chr(13) || chr(160) || chr(8239) || chr(65279)"
_ARROW = {"BIGINT": pa.int64(), "DOUBLE": pa.float64(), "BOOLEAN": pa.bool_(), "DATE": pa.date32()}
_LOOKED_UP_AT_ONCE = 200_000


@dataclass(frozen=True)
class Staged:
    """What is in the table `staged`: its contract columns and those that went through a look-up table."""

    kind: str
    columns: tuple[str, ...]
    looked_up: tuple[str, ...]
    row_count: int
    broken_count: int
    blank_count: int
    blanked_count: int


def stage(connection: Connection, source: Source, layout: Layout, archived: Path) -> Staged:
    """Fill `staged`: one row per source row with typed columns, row_number, reject_ref, line, fault and is_broken."""
    texts = dict(_texts(source, layout))
    origin = f"read_parquet({literal(str(archived))}, file_row_number=true)"
    inner = f"select {', '.join(_row_columns(layout))}, {_aliased(texts)} from {origin}"
    looked_up = _look_up(connection, layout, texts, inner)
    connection.execute(
        f"create or replace temp table staged as {_staging(source.kind, layout, texts, inner, looked_up)}"
    )
    rows, broken, total, touched = _counted(connection, source, layout, origin)
    return Staged(source.kind, tuple(RECORDS[source.kind].columns), looked_up, rows, broken, total - rows, touched)


def _texts(source: Source, layout: Layout) -> Iterator[tuple[str, str]]:
    """Contract column -> SQL for its trimmed text, over the archive's columns."""
    for name in RECORDS[source.kind].columns:
        if name in layout.headers:
            text = f"nullif(trim({quoted(layout.headers[name])}, {_BLANKS}), '')"
            yield name, _translated(text, source.columns[name].values)
        elif name in layout.constants:
            yield name, literal(layout.constants[name])
        elif name in layout.numbered:
            yield name, f"cast({_numbered(layout)} as varchar)"
        else:
            yield name, "cast(null as varchar)"


def _translated(text: str, values: Mapping[str, str]) -> str:
    if not values:
        return text
    cases = " ".join(f"when {literal(word)} then {literal(meaning)}" for word, meaning in values.items())
    return f"case {text} {cases} else {text} end"


def _numbered(layout: Layout) -> str:
    """The row's number; a row sent again keeps the number it had when it was rejected."""
    own = "file_row_number + 1"
    if not _has_refs(layout):
        return own
    return f"coalesce(try_cast(split_part({quoted(REJECT_REF)}, ':', 2) as bigint), {own})"


def _has_refs(layout: Layout) -> bool:
    return any(column.header == REJECT_REF for column in layout.kept)


def _row_columns(layout: Layout) -> Iterator[str]:
    yield "file_row_number + 1 as row_number"
    yield f"{quoted(REJECT_REF) if _has_refs(layout) else 'cast(null as varchar)'} as reject_ref"
    yield f"{quoted(LINE)} as line_of_row"
    yield f"{quoted(AS_FOUND)} as as_found"
    yield f"{quoted(FAULT)} as fault"
    yield f"{quoted(FAULT_COLUMN)} as fault_column"


def _aliased(texts: Mapping[str, str]) -> str:
    return ", ".join(f"{text} as {name}" for name, text in texts.items())


def _look_up(connection: Connection, layout: Layout, texts: Mapping[str, str], inner: str) -> tuple[str, ...]:
    """Have every text that the engine does not read read once; returns the columns with such texts."""
    typed = {name: reading for name, reading in layout.readings.items() if reading.quantity is not Quantity.TEXT}
    if not typed:
        return ()
    counts = ", ".join(f"count(*) filter ({_unread(name, reading)})" for name, reading in typed.items())
    found = connection.execute(f"select {counts} from ({inner})").fetchall()[0]
    looked_up = tuple(name for name, count in zip(typed, found, strict=True) if count)
    for name in looked_up:
        unread = f"select distinct {name} from ({inner}) where {_unread(name, typed[name])}"
        _read_texts(connection, name, typed[name], unread)
    return looked_up


def _unread(name: str, reading: Reading) -> str:
    return f"{name} is not null and ({fast_reading(name, reading)}) is null"


def _read_texts(connection: Connection, name: str, reading: Reading, unread: str) -> None:
    """A temporary table of text, value and reason for the distinct texts of one column."""
    kind = SQL_TYPES[reading.quantity]
    connection.execute(f"create or replace temp table read_{name} (cell varchar, found {kind}, reason varchar)")
    # A plain list: a cursor that is still open would keep the connection from registering the answer.
    cells = [str(row[0]) for row in connection.execute(unread).fetchall()]
    for start in range(0, len(cells), _LOOKED_UP_AT_ONCE):
        _read_some(connection, name, reading, cells[start : start + _LOOKED_UP_AT_ONCE], kind)


def _read_some(connection: Connection, name: str, reading: Reading, cells: list[str], kind: str) -> None:
    read = [read_cell(cell, reading) for cell in cells]
    values = pa.array([cell.value for cell in read], _ARROW.get(kind, pa.timestamp("us")))
    answer = pa.table([pa.array(cells), values, pa.array([cell.reason for cell in read], pa.string())], ["c", "v", "r"])
    connection.register("answer", answer)
    try:
        connection.execute(f"insert into read_{name} select c, v, r from answer")
    finally:
        with suppress(Exception):
            connection.unregister("answer")


def _staging(kind: str, layout: Layout, texts: Mapping[str, str], inner: str, looked_up: tuple[str, ...]) -> str:
    typed = ", ".join(_typed(kind, layout, name, name in looked_up) for name in texts)
    reasons = "".join(f", read_{name}.reason as unread_{name}" for name in looked_up)
    joins = "".join(f" left join read_{name} on read_{name}.cell = t.{name}" for name in looked_up)
    filled = " or ".join(["fault is not null", *(f"t.{name} is not null" for name in layout.headers)])
    broken = " or ".join(
        ["fault is not null", *(f"unread_{name} is not null" for name in looked_up), *_broken(kind, layout)]
    )
    return (
        f"select *, coalesce({broken}, false) as is_broken from (select row_number, reject_ref, line_of_row, "
        f"as_found, fault, fault_column, {typed}{reasons} from ({inner}) as t{joins} where {filled})"
    )


def _typed(kind: str, layout: Layout, name: str, is_looked_up: bool) -> str:
    reading = layout.readings.get(name)
    if reading is None:
        return f"cast(null as {sql_type(RECORDS[kind].columns[name])}) as {name}"
    fast = fast_reading(f"t.{name}", reading)
    return f"coalesce({fast}, read_{name}.found) as {name}" if is_looked_up else f"{fast} as {name}"


def _broken(kind: str, layout: Layout) -> Iterator[str]:
    yield from (f"({predicate.sql})" for predicate in predicates(RECORDS[kind]))
    yield from (f"contains({name}, {literal(BLANKED_EMAIL)})" for name in keys_of_text(kind, layout))


def keys_of_text(kind: str, layout: Layout) -> tuple[str, ...]:
    """Key columns of text: an e-mail address in one of them is no key, and blanked ones would join strangers."""
    keys = RECORDS[kind].metadata["key"]
    return tuple(name for name in keys if name in layout.headers and layout.readings[name].quantity is Quantity.TEXT)


def _counted(connection: Connection, source: Source, layout: Layout, origin: str) -> tuple[int, int, int, int]:
    """Rows, broken rows, archived rows, and rows of which something personal was blanked."""
    free = [name for name, reading in layout.readings.items() if reading.quantity is Quantity.TEXT]
    marks = (BLANKED_EMAIL, BLANKED_PHONE)
    hits = " or ".join(f"contains({name}, {literal(mark)})" for name in free for mark in marks) or "false"
    counted = f"select count(*), count(*) filter (is_broken), count(*) filter ({hits}) from staged"
    rows, broken, blanked = connection.execute(counted).fetchall()[0]
    total = connection.execute(f"select count(*) from {origin}").fetchall()[0][0]
    return int(rows), int(broken), int(total), int(blanked)


def forget(connection: Connection, staged: Staged) -> None:
    """Drop the temporary tables of a delivery."""
    for name in ("staged", "refused", "verdicts", "repeated", *(f"read_{column}" for column in staged.looked_up)):
        connection.execute(f"drop table if exists {name}")
