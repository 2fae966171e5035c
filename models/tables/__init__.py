"""Contracts of every table that is built, and of shop.tariff_*, each in the module of its schema.

TABLES has them all by name. It is gathered when it is first asked for: an import needs few of them, and to
make them all takes longer than to land a day's file.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.tables.all_tables import TABLES

__all__ = ["TABLES"]


def __getattr__(name: str) -> object:
    if name != "TABLES":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from models.tables.all_tables import TABLES

    return TABLES
