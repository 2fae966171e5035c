"""Contracts of the what-ifs that the build rates: each is the rating's own tables over other requests."""

from __future__ import annotations

import pandera.pandas as pa

from models.contracts import key, schema_of
from models.tables.rating import RATING

# Each has its requests in models/sql/whatif.
SCHEMAS = ("rechecked", "nearer", "by_name")


def _again(table: pa.DataFrameSchema, schema: str) -> pa.DataFrameSchema:
    name = str(table.name).replace("rating.", f"{schema}.")
    return schema_of(name, str(table.description), key(table), table.columns)


WHAT_IFS: tuple[pa.DataFrameSchema, ...] = tuple(
    _again(table, schema) for schema in SCHEMAS for table in RATING if str(table.name).startswith("rating.")
)
