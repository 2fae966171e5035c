"""The decimal mark of each column of one file, decided over the whole file: stated, proven, or left open.

A file whose cells prove another mark than the column map states is refused, since under the stated one its `1.500`
would be stored as one and a half. A column that writes the stated mark more often has a few bad cells, which are
rejected. All of this is asked of the few cells that the engine did not read; only where there is something to decide
are the columns counted, once.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace

from models.cells.decimal_marks import AMBIGUOUS, MARKS, NATIVE, NUMBERS, PROOF, settled_marks, with_natives
from models.cells.texts import Reading
from models.errors import SourceFileError
from models.sql_quoting import literal
from pipelines.intake.columns import Layout
from pipelines.intake.reading.tables import source_error
from pipelines.shop.settings import Source
from pipelines.shop.warehouse import Connection

_OTHER = {".": ",", ",": "."}
_SPOKEN = {".": "point", ",": "comma"}
_EXAMPLES = 3
# Formats with numbers of their own, which the archive writes with a point where no mark is stated.
_TYPED = ("xlsx", "json", "jsonl", "parquet")

# By column and mark: cells that prove it, and those of typed formats that do unless they were written as numbers.
Proofs = Mapping[str, Mapping[str, tuple[int, int]]]


def settled_readings(
    connection: Connection, source: Source, layout: Layout, texts: str, name: str, as_texts: Collection[str]
) -> Mapping[str, Reading]:
    """The layout's readings, each number's with the mark that is stated or that the file `name` proves.

    texts: SQL for the columns' trimmed texts, of all rows; `odd_rows` has those of the rows with an unread cell.
    as_texts: headers of columns in which no number was stored as a number.
    Raises SourceFileError where a column proves another mark than the one stated, at least as often as that one.
    """
    readings = layout.readings
    numbers = {each: readings[each] for each in layout.headers if readings[each].quantity in NUMBERS}
    in_question = _in_question(connection, numbers)
    contradicted = {each for each in in_question if numbers[each].decimal}
    is_open = bool(in_question - contradicted)
    if not in_question:
        return readings
    asked = numbers if is_open else {each: numbers[each] for each in contradicted}
    is_typed = source.format in _TYPED
    native = {each for each in asked if is_typed and not asked[each].decimal and layout.headers[each] not in as_texts}
    proofs = _counted(connection, asked, texts, native)
    for each in sorted(contradicted):
        stated = numbers[each].decimal or "."
        if sum(proofs[each][_OTHER[stated]]) >= sum(proofs[each][stated]):
            raise _contradiction(connection, f"{name} (source {source.name!r})", layout.headers[each], each, stated)
    return {**readings, **_proven(numbers, proofs)} if is_open else readings


def _in_question(connection: Connection, numbers: Mapping[str, Reading]) -> set[str]:
    """Columns with an unread cell that contradicts the stated mark, or that a mark of the file would have read."""
    if not numbers:
        return set()
    counted = ", ".join(f"bool_or({_is_telling(name, reading)})" for name, reading in numbers.items())
    found = connection.execute(f"select {counted} from odd_rows").fetchall()[0]
    return {name for name, is_there in zip(numbers, found, strict=True) if is_there}


def _is_telling(name: str, reading: Reading) -> str:
    if reading.decimal:
        return _proves(name, _OTHER[reading.decimal])
    return f"regexp_matches({name}, {literal(AMBIGUOUS)}) or {_proves(name, ',')}"


def _proves(name: str, mark: str) -> str:
    return f"regexp_full_match({name}, {literal(PROOF[mark])})"


def _counted(connection: Connection, numbers: Iterable[str], texts: str, native: Collection[str]) -> Proofs:
    """For each column, how many of its cells prove each mark. native: those that may have been written as numbers."""
    asked = [(name, mark) for name in numbers for mark in MARKS]
    counts = ", ".join(
        f"count(*) filter ({_proves(name, mark)} and {is_native}({_is_native(name) if name in native else 'false'}))"
        for name, mark in asked
        for is_native in ("not ", "")
    )
    found = connection.execute(f"select {counts} from ({texts})").fetchall()[0]
    proofs: dict[str, dict[str, tuple[int, int]]] = {}
    for at, (name, mark) in enumerate(asked):
        proofs.setdefault(name, {})[mark] = int(found[2 * at]), int(found[2 * at + 1])
    return proofs


def _is_native(name: str) -> str:
    return f"regexp_full_match({name}, {literal(NATIVE)})"


def _proven(numbers: Mapping[str, Reading], proofs: Proofs) -> dict[str, Reading]:
    """Readings of the columns without a stated mark, with the one that is proven."""
    marks = settled_marks({name: _marks_of(proofs[name]) for name in numbers})
    return {name: replace(reading, decimal=marks[name]) for name, reading in numbers.items() if not reading.decimal}


def _marks_of(counts: Mapping[str, tuple[int, int]]) -> frozenset[str]:
    texts, natives = ({mark for mark, both in counts.items() if both[kind]} for kind in (0, 1))
    return with_natives(texts, natives)


def _contradiction(connection: Connection, where: str, header: str, name: str, stated: str) -> SourceFileError:
    other = _OTHER[stated]
    found = connection.execute(
        f"select distinct {name} from odd_rows where {_proves(name, other)} order by all limit {_EXAMPLES}"
    ).fetchall()
    return source_error(
        where,
        f"column {header!r} writes a decimal {_SPOKEN[other]}, as in {', '.join(repr(row[0]) for row in found)}, "
        f"but the column map states decimal = {stated!r}",
        f"state decimal = {other!r} for this column or source in dunnage.toml if the file is right, "
        f"or export it again with a decimal {_SPOKEN[stated]}",
    )
