"""Whether the header of a table whose rows are one cell longer lacks the name of the last cell or of the first.

Where the last cells are empty both may be: rows that end in a delimiter, or a first column without a name and nothing
in the last. Only a column of numbers or days tells them apart.
"""

import re
from collections.abc import Iterator, Sequence

from models.cells.texts import Reading, read_cell
from models.errors import SourceFileError
from models.fields import Quantity
from models.reference import RECORDS
from pipelines.intake.reading.lines import Found
from pipelines.intake.reading.tables import source_error, unique_headers
from pipelines.shop.settings import Source

_TELLING_NOTHING = (Quantity.TEXT, Quantity.FLAG)
_MOST = 0.5


def begins_at_left(headers: Sequence[str], found: Sequence[Found], source: Source) -> bool:
    """Whether mapped columns can be read as they stand, and one of them not at all one cell further right."""
    rows = [row.cells for row in found if row.fault is None and len(row.cells) == len(headers) + 1]
    sides = list(_sides(headers, rows, source))
    return all(left >= _MOST for left, _ in sides) and any(not right for _, right in sides)


def _sides(headers: Sequence[str], rows: Sequence[Sequence[str]], source: Source) -> Iterator[tuple[float, float]]:
    """For each mapped column of numbers or days: the share of its cells that can be read, and of its neighbour."""
    names = unique_headers(headers)
    for column, said in source.columns.items():
        kind = RECORDS[source.kind].columns[column].quantity
        if said.column not in names or kind in _TELLING_NOTHING:
            continue
        reading = Reading(kind, None, said.decimal or source.decimal, said.date_order or source.date_order)
        at = names.index(said.column)
        here, right = ([cells[place] for cells in rows if cells[place].strip()] for place in (at, at + 1))
        if here and right:
            yield _share_read(here, reading), _share_read(right, reading)


def _share_read(cells: Sequence[str], reading: Reading) -> float:
    """Currencies are looked at later: an amount is one under any sign."""
    if reading.quantity is Quantity.MONEY:
        cells = [re.sub(r"[^\W\d]{1,3}|[^\w\s.,()'/-]", "", cell) for cell in cells]
    return sum(read_cell(cell, reading).reason is None for cell in cells) / len(cells)


def unplaced(name: str, header_line: int) -> SourceFileError:
    """Rows that are one cell longer than their header, and nothing says where."""
    return source_error(
        name,
        "has rows of one cell more than the header, and nothing says whether the first column has no name or rows end "
        "in a delimiter",
        f"name every column in the header; or state header = false and skip = {header_line} for this source in "
        'dunnage.toml, and map its columns by their place ("1", "2", ...)',
    )
