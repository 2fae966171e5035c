"""The rows of a table one by one, for what takes a record and not a table."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

if TYPE_CHECKING:
    import pandas as pd

# What marts call the group of rows that belong to no known one, as of no carton on record.
UNNAMED = "unknown"


def as_dicts(rows: pd.DataFrame) -> list[dict[str, Any]]:
    """Each row as column name -> cell. Pandas allows any column label and its types say so; a table's are names."""
    return cast(list[dict[str, Any]], rows.to_dict("records"))
