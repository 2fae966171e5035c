"""Contracts of analysis.*: what is computed from the marts and what the checks found."""

from __future__ import annotations

from models.contracts import Contract, contract
from models.made_from import MadeFrom

ANALYSIS: tuple[Contract, ...] = (
    contract(
        "analysis.warnings",
        "warning | meaning row_count examples",
        "One row per check that found something to know but nothing to stop for.",
        made_from=MadeFrom("warned_parcels"),
    ),
)
