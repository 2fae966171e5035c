"""Why a command has nothing to list."""

from typing import Any

import pandas as pd

from dashboards import sentences
from dashboards.review_tables import Records
from models.shop_units import Units


def sentence(id: str, table: str, units: Units, **cells: Any) -> str:
    """The sentence on a table without rows, or with one row of these cells."""
    rows = pd.DataFrame([cells] if cells else [])
    return "\n".join(sentences.lines([id], Records(tables={table: rows}), units))
