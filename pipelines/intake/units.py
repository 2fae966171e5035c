"""Units of lengths, weights and amounts in cents: stated by the map, by the header, by the cells, or asked for."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from models.cells.texts import Reading, units_of
from models.cells.three_sides import side
from models.cells.units import carries_unit
from models.column_map.headers import stated_unit
from models.errors import ColumnMapError
from models.fields import MEASURED, Quantity
from models.reference import RECORDS
from models.shop_units import Units, kept_name
from models.visible import LONGEST_NAME, visible
from pipelines.intake.reading.tables import Table
from pipelines.shop.settings import Source

_STATED = (*MEASURED, Quantity.MONEY)
_EXAMPLES = {Quantity.LENGTH: ('"in"', '"cm" or "mm"'), Quantity.WEIGHT: ('"lb"', '"kg", "g" or "oz"')}
_METRIC_EXAMPLES = {Quantity.LENGTH: ('"cm"', '"mm"'), Quantity.WEIGHT: ('"kg"', '"g"')}


def with_header_units(source: Source) -> Source:
    """The source with each unit stated that a mapped header states and the map does not."""
    columns = dict(source.columns)
    for name, said in source.columns.items():
        wanted = RECORDS[source.kind].columns[name].quantity if name in RECORDS[source.kind].columns else None
        if said.column and said.unit is None and wanted in _STATED:
            columns[name] = replace(said, unit=stated_unit(said.column, wanted))
    return replace(source, columns=columns)


def units_stated(said: Sequence[str]) -> dict[str, str]:
    """Column -> unit, of each `COLUMN=UNIT`; a measure by either of its names."""
    pairs = (each.partition("=") for each in said)
    return {kept_name(column.strip()): unit.strip() for column, _, unit in pairs}


def with_units_stated(source: Source, stated: Mapping[str, str]) -> Source:
    """The source with the units that were stated for this time, of the columns that it has."""
    columns = {
        name: replace(said, unit=stated[name]) if name in stated and said.column else said
        for name, said in source.columns.items()
    }
    return replace(source, columns=columns)


def refuse_unknown_units(sources: Sequence[Source], stated: Mapping[str, str]) -> None:
    """Raises ColumnMapError for a stated unit of a column that none of the sources maps, or that is none of it."""
    for name, unit in stated.items():
        kinds = [source.kind for source in sources if name in source.columns]
        if sources and not kinds:
            raise ColumnMapError(
                name, "is no column of these files", "this command; nothing was imported", "see `dunnage records`"
            )
        if any(unit not in units_of(RECORDS[kind].columns[name].quantity) for kind in kinds):
            raise ColumnMapError(
                unit, f"is no unit of {name}", "this command; nothing was imported", "use in, cm, mm, lb, kg, g or oz"
            )


def needing_units(
    source: Source, headers: Mapping[str, str], readings: Mapping[str, Reading], table: Table, units: Units
) -> dict[str, Reading]:
    """The readings; a measure of a column without a stated unit is read only from cells that carry theirs.

    headers: contract column -> source header. units: the shop's, for what an error says. Raises ColumnMapError where
    none of the first cells does.
    """
    found = dict(readings)
    for name, header in headers.items():
        reading = readings[name]
        if reading.quantity in MEASURED and reading.unit is None:
            _refuse_unitless(source, units, name, header, reading.quantity, table)
            found[name] = replace(reading, needs_unit=True)
    return found


def _refuse_unitless(source: Source, units: Units, name: str, header: str, wanted: Quantity, table: Table) -> None:
    place = table.headers.index(header)
    found = (row[place] for row in table.rows if re.search(r"\d", row[place]))
    number = source.columns[name].side
    cells = [side(each.strip(), number) for each in found] if number else [*found]
    if not cells or any(map(carries_unit, cells)):
        return
    shown, (first, others) = visible(header, LONGEST_NAME), (_METRIC_EXAMPLES if units.is_metric else _EXAMPLES)[wanted]
    name = units.name(name)
    raise ColumnMapError(
        f"dunnage.toml, source {source.name!r}",
        f"{name}: neither the header {shown!r} nor its cells nor the map state a unit",
        f"files {source.files}; nothing of this one was imported",
        f'write {name} = {{ column = "{shown}", unit = {first} }}, or unit = {others}',
    )
