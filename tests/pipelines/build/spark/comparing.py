"""Two warehouses compared table by table: the same keys, the same values, in whatever order."""

from __future__ import annotations

import numpy as np
import pandas as pd

from models.tables import TABLES
from pipelines.shop import warehouse

RELATIVE = 1e-9


def differing(here: warehouse.Connection, there: warehouse.Connection, table: str) -> dict[str, int]:
    """By column, how many rows of a table differ; `rows` counts keys that only one of the two knows."""
    query = f"select * from {table}"
    return differing_rows(here.execute(query).df(), there.execute(query).df(), TABLES[table].key)


def differing_rows(one: pd.DataFrame, other: pd.DataFrame, by: tuple[str, ...]) -> dict[str, int]:
    """The same of two frames; a table without a key is compared as a bag of whole rows."""
    if not by:
        one, other = (_numbered(each) for each in (one, other))
        by = tuple(one.columns)
    both = one.merge(other, on=list(by), how="outer", suffixes=("", " there"), indicator=True)
    counts = {"rows": int((both["_merge"] != "both").sum())}
    matched = both[both["_merge"] == "both"]
    counts |= {name: _differing(matched[name], matched[f"{name} there"]) for name in one.columns if name not in by}
    return {name: count for name, count in counts.items() if count}


def _numbered(rows: pd.DataFrame) -> pd.DataFrame:
    return rows.assign(repeated=rows.groupby(list(rows.columns), dropna=False).cumcount())


def _differing(one: pd.Series, other: pd.Series) -> int:
    if one.isna().tolist() != other.isna().tolist():
        return int((one.isna() != other.isna()).sum())
    known, answered = one.dropna(), other.dropna()
    if pd.api.types.is_float_dtype(known):
        return int((~np.isclose(known, answered.astype(float), rtol=RELATIVE, atol=0)).sum())
    return int((known.astype(object).to_numpy() != answered.astype(object).to_numpy()).sum())
