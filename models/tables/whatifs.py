"""Contracts of the what-ifs that the build rates: each is the rating's own tables over other requests."""

from dataclasses import replace

from models.contracts import Contract
from models.tables.rating import RATING

# Each has its requests in models/sql/whatif.
SCHEMAS = ("rechecked", "nearer", "by_name")


def _again(table: Contract, schema: str) -> Contract:
    name = table.name.replace("rating.", f"{schema}.")
    return replace(table, name=name)


WHAT_IFS: tuple[Contract, ...] = tuple(
    _again(table, schema) for schema in SCHEMAS for table in RATING if table.name.startswith("rating.")
)
