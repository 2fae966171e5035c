"""How the shop's files are read: the tables [[source]] of its settings, each with a column map."""

from dataclasses import dataclass, field, replace
from typing import Annotated, ClassVar

from pydantic import AfterValidator, BeforeValidator, Field

from models.cells.three_sides import SIDES
from models.reference import RECORDS
from models.settings.sections import renamed
from models.settings.text_files import TextStructure
from models.settings.types import (
    DateOrder,
    DecimalMark,
    Delimiter,
    Encoding,
    FilePattern,
    Plain,
    RefusedError,
    Section,
    Words,
    among,
    nearest,
)
from models.shop_units import measure_of

# The headers that a source with a column for each charge has instead of these columns.
WORD, AMOUNT, LINE_NUMBER = "(charge)", "(amount)", "(line)"
FORMATS = ("csv", "tsv", "xlsx", "json", "jsonl", "parquet")


@dataclass(frozen=True)
class ColumnSource(Section):
    """Where one contract column comes from: a source column, a constant `value`, the `row` number, the row's place
    among those that have its cell of the column `within` in common, 1 for the first, or what `*` stands for in the
    file's `name`.

    unit_is_right: files are not held where other records suggest another unit. side: which of the three sides that its
    cells hold. before: of its cells, what stands before the last of these marks, and nothing where there is none.
    """

    affected: ClassVar[str] = "files of this source"

    column: str | None = None
    value: str | None = None
    row: bool = False
    within: str | None = None
    name: Annotated[str, Field(pattern=r"^[^*]*\*[^*]*$")] | None = None
    unit: Plain | None = None
    unit_is_right: bool = False
    decimal: DecimalMark | None = None
    date_order: DateOrder | None = None
    values: dict[str, str] = field(default_factory=dict)
    side: Annotated[int, Field(ge=1, le=len(SIDES))] | None = None
    before: Annotated[str, Field(min_length=1, max_length=4)] | None = None

    @property
    def made(self) -> str | None:
        """The header of the column that intake adds to the file for it, if it does."""
        return LINE_NUMBER if self.within else f"(file {self.name})" if self.name else None


def _stated_once(said: ColumnSource) -> ColumnSource:
    origins = (said.column, said.value, said.row or None, said.within, said.name)
    if sum(each is not None for each in origins) != 1:
        raise RefusedError("must state one of column, value, row, within, name", "state exactly one of them")
    for name, stated in (("side", said.side), ("before", said.before)):
        if stated and not said.column:
            raise RefusedError(f"states {name} of no column", f"state `column`, or remove `{name}`", (name,))
    return said


def _column_of(said: object) -> object:
    """A header alone is short for a table with nothing but `column`."""
    if isinstance(said, str):
        return {"column": said}
    if not isinstance(said, dict):
        raise RefusedError("is neither a header nor a table", 'write its name = "Header"')
    return said


Column = Annotated[ColumnSource, BeforeValidator(_column_of), AfterValidator(_stated_once)]


def _kept_names(stated: object) -> object:
    """Columns that are measures may bear the shop's names for them: length_cm for length_in."""
    measures = {name for record in RECORDS.values() for name in record.columns if measure_of(name)}
    return renamed(measures, stated, _constant_in_cm)


def _constant_in_cm(name: str, said: object) -> object:
    """A constant under a metric name is in the unit of that name, where it states no other."""
    measure = measure_of(name)
    if measure is None or not isinstance(said, dict) or "value" not in said:
        return said
    return {"unit": measure.metric.sign, **said}


def _file_part(name: str) -> str:
    """A source's name is part of the names of archived and exported files."""
    if "/" in name or "\\" in name or name.startswith("."):
        raise RefusedError("cannot be part of a file's name", "leave out / and \\, and a point in front")
    return name


@dataclass(frozen=True)
class Join(TextStructure):
    """Files read together with those of a source: each of its rows with the row here that has its key.

    by: the key's header in the source's files; there: in these, where it differs.
    """

    affected: ClassVar[str] = "files of this source"

    files: FilePattern
    by: Words
    there: Words | None = None
    format: Annotated[str, among(FORMATS)] = "csv"
    delimiter: Delimiter = ","
    encoding: Encoding | None = None
    sheet: Words | None = None
    header: bool = True


@dataclass(frozen=True)
class Source(TextStructure):
    """One kind of file the shop receives, and how to read it.

    `encoding`, `decimal` and `date_order` are None where not stated; text is then read as UTF-8.

    Where `header` is false the columns are named by their place: "1", "2", ...

    amounts: of an invoice with a column for each charge, their headers and the word that each stands for; total: the
    header of their sum. tax: of an invoice whose rows state their tax beside the amount, its header; is_tax_within:
    whether the amount contains it.
    """

    affected: ClassVar[str] = "files of this source"

    name: Annotated[Words, Field(max_length=100), AfterValidator(_file_part)]
    kind: Annotated[str, among(tuple(RECORDS))]
    files: FilePattern
    columns: Annotated[dict[str, Column], BeforeValidator(_kept_names)]
    format: Annotated[str, among(FORMATS)] = "csv"
    delimiter: Delimiter = ","
    encoding: Encoding | None = None
    decimal: DecimalMark | None = None
    date_order: DateOrder | None = None
    sheet: Words | None = None
    header: bool = True
    join: Annotated[tuple[Join, ...], Field(strict=False, max_length=4)] = ()
    amounts: dict[str, str] = field(default_factory=dict)
    total: Words | None = None
    tax: Words | None = None
    is_tax_within: bool = False

    @property
    def mapped(self) -> list[str]:
        """The headers that its files must have."""
        made = (WORD, AMOUNT, LINE_NUMBER) if self.amounts else (LINE_NUMBER,) if self.tax else ()
        said = (each.within or each.column for each in self.columns.values())
        named = (header for header in said if header and header not in made)
        return [*named, *self.amounts, *filter(None, [self.total, self.tax])]

    @property
    def read_as(self) -> str:
        """The encoding that its text files are read in."""
        return self.encoding or "utf-8"


def _marks_apart(source: Source) -> Source:
    for name, mark in (("quote", source.quote), ("escape", source.escape)):
        if mark and mark in source.delimiter:
            raise RefusedError(f"{name} = {mark!r} is part of the delimiter too", "state marks that differ", (name,))
    return source


def _known_columns(source: Source) -> Source:
    known = RECORDS[source.kind].columns
    for name in source.columns:
        if name not in known:
            raise RefusedError(
                f"unknown setting {name}: {source.kind} has no such column", nearest(name, known), ("columns", name)
            )
    return source


def _counted_within_one(source: Source) -> Source:
    headers = {said.within for said in source.columns.values() if said.within}
    if len(headers) > 1:
        listed = " and ".join(repr(header) for header in sorted(headers))
        name = next(name for name, said in reversed(source.columns.items()) if said.within)
        raise RefusedError(f"rows are counted within {listed}", "name one column for all of them", ("columns", name))
    return source


def _charges_in_columns(source: Source) -> Source:
    """The source with the columns that its amounts, or the tax of its rows, stand for."""
    if source.amounts:
        return _made(source, "amounts", {"charge_code": WORD, "amount_cents": AMOUNT, "line_number": LINE_NUMBER})
    if source.total is not None:
        raise RefusedError("total is stated without amounts", "state the columns that it is the sum of", ("total",))
    if source.tax is None:
        if source.is_tax_within:
            raise RefusedError("is_tax_within is stated without tax", "state the column of the tax", ("is_tax_within",))
        return source
    for name in ("charge_code", "amount_cents"):
        if source.kind == "charges" and (name not in source.columns or source.columns[name].column is None):
            raise RefusedError(f"tax is stated without a column for {name}", "state it, or remove tax", ("tax",))
    return _made(source, "tax", {"line_number": LINE_NUMBER})


def _made(source: Source, stated: str, made: dict[str, str]) -> Source:
    """The source with columns that come from what is stated: contract column -> header."""
    if source.kind != "charges":
        raise RefusedError(f"{stated}: of charges, not of {source.kind}", "remove it", (stated,))
    if stated == "amounts" and source.tax is not None:
        raise RefusedError("tax is stated beside amounts", "state it as one of the amounts", ("tax",))
    for name, header in made.items():
        if (said := source.columns.get(name)) is not None and said.column != header:
            raise RefusedError(f"{name} has a source beside {stated}", "leave it out", ("columns", name))
    return replace(source, columns={**{name: ColumnSource(each) for name, each in made.items()}, **source.columns})


CheckedSource = Annotated[
    Source,
    AfterValidator(_known_columns),
    AfterValidator(_marks_apart),
    AfterValidator(_counted_within_one),
    AfterValidator(_charges_in_columns),
]


def _named_once(sources: tuple[Source, ...]) -> tuple[Source, ...]:
    """The sources where no name stands twice. Raises RefusedError."""
    names = [each.name for each in sources]
    for number, name in enumerate(names):
        if name in names[:number]:
            raise RefusedError(f"two sources are named {name!r}", "give each a name of its own", (number, "name"))
    return sources


Sources = Annotated[tuple[CheckedSource, ...], Field(strict=False), AfterValidator(_named_once)]
