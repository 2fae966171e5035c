"""The column map applied to one file: where each contract column comes from, what is kept and what is dropped."""

import datetime as dt
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from models.cells.decimal_marks import NUMBERS
from models.cells.texts import Reading, read_cell, units_of
from models.contracts import Contract
from models.errors import ColumnMapError
from models.fields import Quantity
from models.predicates import Predicate, predicates
from models.privacy import is_identifier, is_remark, personal_columns, personal_header
from models.reference import RECORDS
from models.visible import listed
from pipelines.intake.reading.tables import REASON, REJECT_REF, WHOLE_ROW, Kept, Table, kept_name, plain_header
from pipelines.intake.units import needing_units
from pipelines.shop.settings import ColumnSource, Settings, Source


@dataclass(frozen=True)
class Layout:
    """How one file is read.

    headers: contract column -> source header. readings: how each contract column's cells are read. constants:
    contract column -> text. numbered: contract columns that are the row's number. kept: source columns that are
    archived. remarks: headers among them that hold free text. dropped: header -> what personal it seems to hold;
    personal: these columns, as they are compared with the remarks. ignored: other headers that feed nothing.
    is_sorted: sides are sorted when they are read; else they are held to their order. is_parted: a cell with the
    numbers of several labels is rejected; else it is one number, as it was until November 2026. is_marked: a row of the
    bench log needs no sale line; else it does, as it did then. imported_on: the shop's day, to which days that must be
    over are held; None where they were not, as then.
    """

    headers: dict[str, str]
    readings: dict[str, Reading]
    constants: dict[str, str]
    numbered: frozenset[str]
    kept: tuple[Kept, ...]
    remarks: tuple[str, ...]
    personal: tuple[Kept, ...]
    dropped: dict[str, str]
    ignored: tuple[str, ...]
    is_sorted: bool = True
    is_parted: bool = True
    is_marked: bool = True
    imported_on: dt.date | None = None

    def archived(self, header: str) -> str:
        """The name of a kept header's column in the archived file."""
        return kept_name([column.header for column in self.kept].index(header))

    def conditions(self, kind: str) -> tuple[Predicate, ...]:
        """What makes a row of the file a bad one."""
        return predicates(
            RECORDS[kind], is_sorted=self.is_sorted, is_marked=self.is_marked, imported_on=self.imported_on
        )


def lay_out(settings: Settings, source: Source, table: Table, name: str, *, needs_units: bool = True) -> Layout:
    """Find the mapped columns among the file's headers.

    needs_units: a measure for which nothing states a unit is not taken in the contract's own. Raises ColumnMapError.
    """
    schema = RECORDS[source.kind]
    readings = {column: reading_of(settings, source, schema, column) for column in source.columns}
    _refuse_incomplete(source, schema)
    for column, said in source.columns.items():
        _refuse_unusable(source, column, said, readings[column])
    headers = dict(_found_headers(source, table, name))
    readings = needing_units(source, headers, readings, table, settings.shop.shown_units) if needs_units else readings
    used = {*headers.values(), *({REJECT_REF} & set(table.headers))}
    personal = {header: kind for header, kind in personal_columns(table).items() if header not in used}
    remarks = _remarks(schema, headers)
    kept = tuple(_kept(source, schema, headers, table, remarks if personal else ()))
    return Layout(
        headers=headers,
        readings=readings,
        constants={column: said.value for column, said in source.columns.items() if said.value is not None},
        numbered=frozenset(column for column, said in source.columns.items() if said.row),
        kept=kept,
        remarks=remarks,
        personal=tuple(Kept(header, table.headers.index(header)) for header in personal),
        dropped=personal,
        ignored=tuple(header for header in table.headers if header not in used | personal.keys() | _ours(table)),
    )


def _ours(table: Table) -> set[str]:
    """Columns that an export of rejected rows has beside the source's own."""
    return {REJECT_REF, REASON, WHOLE_ROW} if REJECT_REF in table.headers else set()


def reading_of(settings: Settings, source: Source, schema: Contract, column: str) -> Reading:
    """How the cells of a mapped column are read."""
    said = source.columns[column]
    return Reading(
        schema.columns[column].quantity,
        unit=said.unit,
        decimal=said.decimal or source.decimal,
        date_order=said.date_order or source.date_order,
        currency=settings.shop.currency,
        time_zone=settings.shop.time_zone,
    )


def _refuse_incomplete(source: Source, schema: Contract) -> None:
    needed = [name for name, column in schema.columns.items() if not column.nullable and name not in source.columns]
    if needed:
        raise _map_error(source, f"lacks {', '.join(needed)}", "state where each comes from; `dunnage map FILE` helps")


def _refuse_unusable(source: Source, column: str, said: ColumnSource, reading: Reading) -> None:
    if said.unit and said.unit not in units_of(reading.quantity):
        raise _map_error(source, f"{column}: {said.unit!r} is not a unit of {reading.quantity}", "correct the unit")
    if said.side and reading.quantity is not Quantity.LENGTH:
        raise _map_error(source, f"{column}: a side is no {reading.quantity}", "remove `side`")
    if reading.decimal not in (None, ".", ","):
        raise _map_error(source, f"{column}: decimal {reading.decimal!r} is neither . nor ,", "correct `decimal`")
    is_day = reading.quantity in (Quantity.DATE, Quantity.INSTANT)
    if said.column and personal_header(said.column) and not is_day:
        raise _map_error(
            source,
            f"{column}: column {said.column!r} seems to hold {personal_header(said.column)}, which are never stored",
            "map another column, or rename it in the export if it holds no such thing",
        )
    if (said.row or said.within) and reading.quantity not in (Quantity.COUNT, Quantity.TEXT):
        raise _map_error(source, f"{column}: a row number is no {reading.quantity}", "map a column instead")
    reason = read_cell(said.value, reading).reason if said.value is not None else None
    if reason:
        raise _map_error(source, f"{column}: the value {said.value!r} {reason}", "correct the value")


def _found_headers(source: Source, table: Table, name: str) -> Iterator[tuple[str, str]]:
    missing = []
    for column, said in source.columns.items():
        wanted = said.made or said.column
        if wanted is None:
            continue
        header = matching(wanted, table.headers)
        if header is None:
            missing.append(wanted)
        else:
            yield column, header
    if missing:
        raise ColumnMapError(
            f"{name} (source {source.name!r})",
            f"has no column {', '.join(map(repr, missing))}; it has {listed(table.headers)}",
            "this file; nothing of it was imported",
            "correct the column map, or `files` if another source was meant",
        )


def matching(wanted: str, headers: Sequence[str]) -> str | None:
    """The header as written, else the only one that differs in case and blanks alone."""
    if wanted in headers:
        return wanted
    alike = [header for header in headers if plain_header(header) == plain_header(wanted)]
    return alike[0] if len(alike) == 1 else None


def _remarks(schema: Contract, headers: dict[str, str]) -> tuple[str, ...]:
    """The headers that feed remarks and nothing else."""
    others = {header for column, header in headers.items() if not is_remark(schema, column)}
    return tuple(dict.fromkeys(header for header in headers.values() if header not in others))


def _kept(
    source: Source, schema: Contract, headers: dict[str, str], table: Table, hidden: Collection[str]
) -> Iterator[Kept]:
    seen = set()
    for column, header in headers.items():
        if header in seen:
            continue
        seen.add(header)
        users = [each for each, used in headers.items() if used == header]
        has_numbers = any(schema.columns[each].quantity in NUMBERS for each in users)
        decimal = source.columns[column].decimal or source.decimal if has_numbers else "."
        has_phones = not any(is_identifier(schema, each) for each in users)
        yield Kept(
            header,
            table.headers.index(header),
            decimal,
            has_phones,
            is_shown=header not in hidden,
            takes_shares=not has_numbers,
        )
    if REJECT_REF in table.headers and REJECT_REF not in seen:
        yield Kept(REJECT_REF, table.headers.index(REJECT_REF))


def _map_error(source: Source, what: str, next_step: str) -> ColumnMapError:
    return ColumnMapError(f"dunnage.toml, source {source.name!r}", what, f"files {source.files}", next_step)
