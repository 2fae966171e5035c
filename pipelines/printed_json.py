"""Tables for other programs: what `--json` prints."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from dashboards import formats
from models.plain_rows import plain
from models.shop_units import Units

if TYPE_CHECKING:
    import pandas as pd


def print_json(tables: Mapping[str, pd.DataFrame], units: Units) -> None:
    """Print tables to standard output for other programs, nothing made of them: name -> rows of column -> cell.

    Names, units and meanings are those of the data dictionary and of `dunnage export`: measures in the shop's units,
    amounts in the currency's smallest unit, days as 2026-10-31, null where nothing is known.
    """
    found = {}
    for name, rows in tables.items():
        seen = units.seen(rows)
        names = [str(column) for column in seen.columns]
        found[name] = [
            {column: _plain(cell) for column, cell in zip(names, row, strict=True)}
            for row in seen.itertuples(index=False, name=None)
        ]
    print(json.dumps(found, ensure_ascii=False, indent=1))


def records(columns: str, rows: Iterable[Sequence[Any]]) -> pd.DataFrame:
    """Rows of no table of the warehouse as one, for `print_json`. columns: their names, parted by blanks."""
    names = columns.split()
    return plain([dict(zip(names, row, strict=True)) for row in rows], names)


def _plain(cell: Any) -> Any:
    """A cell as JSON has it."""
    if isinstance(cell, list | dict):
        return cell
    if formats.is_unknown(cell):
        return None
    if hasattr(cell, "isoformat"):
        return cell.isoformat().removesuffix("T00:00:00")
    return cell.item() if hasattr(cell, "item") else cell if isinstance(cell, str | int | float | bool) else str(cell)
