"""Contracts of analysis.*: what is computed from the marts and what the checks found."""

from __future__ import annotations

import pandera.pandas as pa

from models.contracts import contract
from models.tables.vocabulary import columns

ANALYSIS: tuple[pa.DataFrameSchema, ...] = (
    contract(
        "analysis.warnings",
        "One row per check that found something to know but nothing to stop for.",
        ("warning",),
        columns("warning meaning row_count examples"),
    ),
)
