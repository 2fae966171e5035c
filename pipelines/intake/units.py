"""Units of lengths, weights and amounts in cents: stated by the map, by the header, by the cells, or asked for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from models.cells.texts import Reading
from models.cells.units import carries_unit
from models.column_map.headers import stated_unit
from models.contracts import quantity
from models.errors import ColumnMapError
from models.fields import Quantity
from models.reference import RECORDS
from models.shop_units import Units
from models.visible import LONGEST_NAME, visible
from pipelines.intake.reading.tables import Table
from pipelines.shop.settings import Source

_STATED = (Quantity.LENGTH, Quantity.WEIGHT, Quantity.MONEY)
_MEASURES = (Quantity.LENGTH, Quantity.WEIGHT)
_EXAMPLES = {Quantity.LENGTH: ('"in"', '"cm" or "mm"'), Quantity.WEIGHT: ('"lb"', '"kg", "g" or "oz"')}
_METRIC_EXAMPLES = {Quantity.LENGTH: ('"cm"', '"mm"'), Quantity.WEIGHT: ('"kg"', '"g"')}


def with_header_units(source: Source) -> Source:
    """The source with each unit stated that a mapped header states and the map does not."""
    columns = dict(source.columns)
    for name, said in source.columns.items():
        wanted = quantity(RECORDS[source.kind].columns[name]) if name in RECORDS[source.kind].columns else None
        if said.column and said.unit is None and wanted in _STATED:
            columns[name] = replace(said, unit=stated_unit(said.column, wanted))
    return replace(source, columns=columns)


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
        if reading.quantity in _MEASURES and reading.unit is None:
            _refuse_unitless(source, units, name, header, reading.quantity, table)
            found[name] = replace(reading, needs_unit=True)
    return found


def _refuse_unitless(source: Source, units: Units, name: str, header: str, wanted: Quantity, table: Table) -> None:
    place = table.headers.index(header)
    cells = [row[place] for row in table.rows if re.search(r"\d", row[place])]
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
