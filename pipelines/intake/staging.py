"""From archived text to typed, checked rows: the temporary view `staged`.

The engine types what is canonical in one pass. Rows with a cell it cannot read are set apart; their distinct texts are
read by models/cells/texts.py, come back as small tables of text, value and reason, and these rows are typed once more.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from models.cells.texts import Reading
from models.cells.three_sides import side_sql
from models.column_map.sample_values import is_closed
from models.column_map.word_maps import any_case
from models.fields import Quantity
from models.predicates import broken_row
from models.privacy import BLANKED_EMAIL, BLANKED_END, holds_mark_sql
from models.reference import RECORDS
from models.sql_quoting import literal, quoted
from pipelines.intake.columns import Layout
from pipelines.intake.decimal_marks import settled_readings
from pipelines.intake.fast_reading import fast_reading
from pipelines.intake.numbers_as_text import identifiers, is_several, is_shortened, keys_of_text, labels
from pipelines.intake.odd_cells import read_odd_cells
from pipelines.intake.ordering import with_sides_sorted
from pipelines.intake.reading.tables import AS_FOUND, FAULT, REJECT_REF
from pipelines.shop.settings import ColumnSource, Source
from pipelines.shop.warehouse import Connection

# What is cut off at both ends of a text: blanks, tabs, line breaks, no-break blanks, a byte order mark.
_BLANKS = ("' '", *(f"chr({code})" for code in (9, 10, 13, 160, 8239, 65279)))


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
    repaired_count: int = 0
    unsorted_count: int = 0
    notes: tuple[str, ...] = ()


def stage(
    connection: Connection,
    source: Source,
    layout: Layout,
    origin: str,
    name: str,
    *,
    as_texts: Collection[str],
    notes: tuple[str, ...] = (),
) -> Staged:
    """Fill `staged`: one row per source row that is not blank, with typed columns, row_number and is_broken.

    Columns that no source feeds and notes on single rows are left out of the stored rows: at ten million rows each
    would cost as much memory as one that is used. origin: SQL for the archived rows. as_texts: headers
    of columns that stored no number as a number. notes: what the user should know of how the rows were read. Raises
    SourceFileError where the file `name` has another decimal mark than its column map states.
    """
    has_odd = _type(connection, source, layout, origin)
    if has_odd:
        readings = settled_readings(connection, source, layout, _texts_from(source, layout, origin), name, as_texts)
        if readings != layout.readings:
            layout = replace(layout, readings=dict(readings))
            has_odd = _type(connection, source, layout, origin)
    looked_up = _mend(connection, source, layout) if has_odd else ()
    reread = "union all by name select * from reread_rows" if looked_up else ""
    unfed = "".join(f", {empty}" for empty in _unfed(source.kind, layout))
    connection.execute(
        f"create or replace temp view staged as select *{unfed} from "
        f"(select * exclude (is_odd) from typed_rows where not is_odd {reread})"
    )
    rows, broken, total, blanked, repaired, unsorted = _counted(connection, layout, origin)
    columns = tuple(RECORDS[source.kind].columns)
    return Staged(source.kind, columns, looked_up, rows, broken, total - rows, blanked, repaired, unsorted, notes)


def _type(connection: Connection, source: Source, layout: Layout, origin: str) -> bool:
    """Fill `typed_rows`, and `questioned_rows` with the archived ones that have an unread cell or break a check.

    The texts of those with an unread cell are the view `odd_rows`; returns whether there are any.
    """
    typed = _staging(source.kind, layout, _texts_from(source, layout, origin), ())
    connection.execute(f"create or replace temp table typed_rows as {typed}")
    questioned = _among_typed(origin, "is_odd or is_broken")
    connection.execute(f"create or replace temp table questioned_rows as {questioned}")
    odd = _texts_from(source, layout, f"({_among_typed('questioned_rows', 'is_odd')})")
    connection.execute(f"create or replace temp view odd_rows as {odd}")
    return bool(connection.execute("select 1 from typed_rows where is_odd limit 1").fetchall())


def _among_typed(rows: str, condition: str) -> str:
    return f"select * from {rows} where file_row_number + 1 in (select row_number from typed_rows where {condition})"


def _mend(connection: Connection, source: Source, layout: Layout) -> tuple[str, ...]:
    """Type the rows with odd cells; returns the columns in which there were any."""
    typed = {name: reading for name, reading in layout.readings.items() if reading.quantity is not Quantity.TEXT}
    looked_up = read_odd_cells(connection, typed)
    reread = _staging(source.kind, layout, "from odd_rows", looked_up)
    connection.execute(f"create or replace temp table reread_rows as select * exclude (is_odd) from ({reread})")
    return looked_up


def _unfed(kind: str, layout: Layout) -> Iterator[str]:
    for name, column in RECORDS[kind].columns.items():
        if name not in layout.readings:
            yield f"cast(null as {column.sql_type}) as {name}"
    if not _has_refs(layout):
        yield "cast(null as varchar) as reject_ref"


def _texts_from(source: Source, layout: Layout, origin: str) -> str:
    texts = (f"{text} as {name}" for name, text in _texts(source, layout))
    return f"select {', '.join([*_row_columns(layout), *texts])} from {origin}"


def _texts(source: Source, layout: Layout) -> Iterator[tuple[str, str]]:
    """Contract column -> SQL for its trimmed text, over the archive's columns."""
    for name in layout.readings:
        if name in layout.headers:
            is_text, said = layout.readings[name].quantity is Quantity.TEXT, source.columns[name]
            cell = _trimmed(layout.archived(layout.headers[name]), is_text)
            column = RECORDS[source.kind].columns[name]
            yield name, _translated(_part(cell, said), said.values, is_closed=is_closed(column))
        elif name in layout.constants:
            yield name, literal(layout.constants[name])
        else:
            yield name, f"cast({_numbered(layout)} as varchar)"


def _part(cell: str, said: ColumnSource) -> str:
    if said.side:
        return side_sql(cell, said.side)
    if said.before is None:
        return cell
    mark = literal(said.before)
    return f"nullif(trim(array_to_string(string_split({cell}, {mark})[:-2], {mark})), '')"


def _trimmed(cell: str, is_text: bool) -> str:
    """Without blanks at its ends. Other cells than text need no more: what is left is read by models/cells/texts.py.

    Almost every cell begins and ends with a visible sign of ASCII, and to see that costs less than to trim it.
    """
    if is_text:
        ends_well, trimmed = f"{cell}[-1] between '!' and '~'", f"trim({cell}, {' || '.join(_BLANKS)})"
    else:
        ends_well, trimmed = f"not ends_with({cell}, ' ')", f"trim({cell})"
    return f"case when {cell} between '!' and '~' and {ends_well} then {cell} else nullif({trimmed}, '') end"


def _translated(text: str, values: Mapping[str, str], *, is_closed: bool) -> str:
    """SQL for the text, or for what the map says that it stands for: in a column of few words in whatever case."""
    if not values:
        return text
    spelled = _cases(values)
    other = f"case lower({text}) {_cases(any_case(values))} else {text} end" if is_closed and any_case(values) else text
    return f"case {text} {spelled} else {other} end"


def _cases(values: Mapping[str, str]) -> str:
    return " ".join(f"when {literal(word)} then {literal(meaning)}" for word, meaning in values.items())


def _numbered(layout: Layout) -> str:
    """The row's number; a row sent again keeps the number it had when it was rejected."""
    own = "file_row_number + 1"
    if not _has_refs(layout):
        return own
    return f"coalesce(try_cast(split_part({layout.archived(REJECT_REF)}, ':', 2) as bigint), {own})"


def _has_refs(layout: Layout) -> bool:
    return any(column.header == REJECT_REF for column in layout.kept)


def _row_columns(layout: Layout) -> Iterator[str]:
    yield "file_row_number + 1 as row_number"
    yield f"{quoted(FAULT)} as fault"
    if _has_refs(layout):
        yield f"{layout.archived(REJECT_REF)} as reject_ref"


def _staging(kind: str, layout: Layout, texts: str, looked_up: Sequence[str]) -> str:
    """SQL that types and checks rows of texts, with the answers of the columns that were looked up."""
    typed = ", ".join(f"{_typed(name, reading, looked_up)} as {name}" for name, reading in layout.readings.items())
    reasons = "".join(f", read_{name}.reason as unread_{name}" for name in looked_up)
    joins = "".join(f" left join read_{name} on read_{name}.cell = t.{name}" for name in looked_up)
    filled = " or ".join(["fault is not null", *(f"t.{name} is not null" for name in layout.headers)])
    odd = " or ".join(_odd(layout)) or "false"
    broken = ["fault is not null", *(f"unread_{name} is not null" for name in looked_up), *_broken(kind, layout)]
    ref = ", reject_ref" if _has_refs(layout) else ""
    unfed = "".join(f", {empty}" for empty in _unfed(kind, layout))
    kept = ", ".join(["row_number", *layout.readings, *(f"unread_{name}" for name in looked_up)])
    rows = texts.removeprefix("from ") if texts.startswith("from ") else f"({texts})"
    typed_rows = (
        f"select {kept}{ref}, is_odd, coalesce({' or '.join(broken)}, false) as is_broken from (select *{unfed} from ("
        f"select row_number, fault{ref}, {typed}{reasons}, coalesce({odd}, false) as is_odd "
        f"from {rows} as t{joins} where {filled}))"
    )
    return with_sides_sorted(kind, layout, typed_rows)


def _typed(name: str, reading: Reading, looked_up: Sequence[str]) -> str:
    fast = fast_reading(f"t.{name}", reading)
    return f"coalesce({fast}, read_{name}.found)" if name in looked_up else fast


def _odd(layout: Layout) -> Iterator[str]:
    for name, reading in layout.readings.items():
        if reading.quantity is not Quantity.TEXT:
            yield f"(t.{name} is not null and ({fast_reading(f't.{name}', reading)}) is null)"


def _broken(kind: str, layout: Layout) -> Iterator[str]:
    yield from broken_row(layout.conditions(kind))
    yield from (holds_mark_sql(name, BLANKED_EMAIL) for name in keys_of_text(kind, layout))
    yield from map(is_shortened, identifiers(kind, layout))
    yield from map(is_several, labels(layout))


def _counted(connection: Connection, layout: Layout, origin: str) -> tuple[int, ...]:
    """Rows, broken rows, archived rows, rows of which something personal was blanked, repaired and sorted rows."""
    free = [name for name, reading in layout.readings.items() if reading.quantity is Quantity.TEXT]
    hits = " or ".join(holds_mark_sql(name, BLANKED_END) for name in free) or "false"
    counts = ", ".join(f"count(*) filter ({condition})" for condition in ("true", "is_broken", hits, "is_unsorted"))
    rows, broken, blanked, unsorted = connection.execute(f"select {counts} from staged").fetchall()[0]
    repaired = f"{quoted(AS_FOUND)} is not null and {quoted(FAULT)} is null"
    archived = f"select count(*), count(*) filter ({repaired}) from {origin}"
    total, repaired_count = connection.execute(archived).fetchall()[0]
    return int(rows), int(broken), int(total), int(blanked), int(repaired_count), int(unsorted)


def forget(connection: Connection, columns: Sequence[str] = ()) -> None:
    """Drop the temporary tables of a delivery, in which these columns were looked up."""
    for name in ("staged", "odd_rows"):
        connection.execute(f"drop view if exists {name}")
    looked_up = (f"read_{column}" for column in columns)
    for name in ("typed_rows", "questioned_rows", "reread_rows", "refused", "verdicts", "repeated", *looked_up):
        connection.execute(f"drop table if exists {name}")
