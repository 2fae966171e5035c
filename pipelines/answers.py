"""What a reading command found, as JSON for other programs: the rows that it prints, and nothing made of them.

One object: name of a table -> its rows, each an object of column -> cell. Names, units and meanings are those of the
data dictionary and of `dunnage export`: measures in the shop's units, amounts in the currency's smallest unit, days as
2026-10-31, null where nothing is known.
"""

from __future__ import annotations

import json
from argparse import SUPPRESS, ArgumentParser
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd

    from models.shop_units import Units

HELP = "print the rows as JSON, with names and units as `dunnage export` has them"


def argument(parser: ArgumentParser, *, is_inner: bool = False) -> None:
    """Add --json. is_inner: to the parser of an action whose command has it, too."""
    parser.add_argument("--json", action="store_true", help=HELP, default=SUPPRESS if is_inner else False)


def print_json(tables: Mapping[str, pd.DataFrame], units: Units) -> None:
    """Print the tables to standard output."""
    found = {name: _rows(units.seen(rows)) for name, rows in tables.items()}
    print(json.dumps(found, ensure_ascii=False, indent=1))


def _rows(frame: pd.DataFrame) -> list[dict[str, Any]]:
    names = [str(name) for name in frame.columns]
    return [
        {name: _plain(cell) for name, cell in zip(names, row, strict=True)}
        for row in frame.itertuples(index=False, name=None)
    ]


def _plain(cell: Any) -> Any:
    """A cell as JSON has it."""
    import pandas as pd

    if isinstance(cell, list | dict):
        return cell
    if pd.isna(cell):
        return None
    if hasattr(cell, "isoformat"):
        return cell.isoformat().removesuffix("T00:00:00")
    return cell.item() if hasattr(cell, "item") else cell if isinstance(cell, str | int | float | bool) else str(cell)
