"""What an analysis is and what it is asked."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, TypeVar

import pandas as pd

from models.tables import TABLES

Tables = Mapping[str, pd.DataFrame]
Found = TypeVar("Found")


@dataclass(frozen=True)
class Question:
    """What an analysis is asked: the tables it reads by name, the last day of the records, the shop's options.

    worked_out: what `once` keeps; a question about other tables or options begins with an empty one.
    """

    tables: Tables
    as_of: date
    options: Mapping[str, Any] = field(default_factory=dict)
    worked_out: dict[str, Any] = field(default_factory=dict)

    def table(self, name: str) -> pd.DataFrame:
        """One of the tables read. Raises KeyError for one that the analysis did not name."""
        return self.tables[name]

    def found(self, name: str) -> pd.DataFrame | None:
        """One of the tables that may be read; None where the warehouse does not have it."""
        return self.tables.get(name)

    def once(self, name: str, work: Callable[[], Found]) -> Found:
        """What the first analysis that needs it works out, kept for the others; not to be changed in place."""
        if name not in self.worked_out:
            self.worked_out[name] = work()
        kept: Found = self.worked_out[name]
        return kept


def answer(table: str, rows: Sequence[Mapping[str, Any]] | pd.DataFrame = ()) -> pd.DataFrame:
    """The rows with the columns of the table's contract, in its order; of no rows the columns alone.

    Raises KeyError for a frame with some of them only.
    """
    names = list(TABLES[table].columns)
    if isinstance(rows, pd.DataFrame) and len(rows.columns):
        return rows[names]
    return pd.DataFrame(rows, columns=names)


@dataclass(frozen=True)
class Analysis:
    """reads: table or query names (models/sql/queries). writes: analysis tables. compute: pure.

    may_read: more of them, each with the tables it needs; it is read only where the warehouse has all of these.
    """

    name: str
    reads: tuple[str, ...]
    writes: tuple[str, ...]
    compute: Callable[[Question], dict[str, pd.DataFrame]]
    may_read: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
