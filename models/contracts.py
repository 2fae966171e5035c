"""A contract: a table's columns, its grain, its key and the rules between its columns.

It is stated without any library, and read by two: pandera holds rows in Python to it (models/schemas.py), the engine
rows that it makes (models/predicates.py).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from models.columns import built_columns, record_columns
from models.fields import Column
from models.provenance import MadeFrom
from models.rules import Rule

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, eq=False, kw_only=True)
class Contract:
    """What every row of a table is and keeps.

    grain: what one row is; empty where the head of the SQL that makes the table says it (sql_texts.grain). key: columns
    that identify a row; empty where nothing does. rules: conditions between columns. made_from: the rows
    behind a row. sorts: groups of columns whose values may come in any order, the greatest stored first. shapes: the
    columns that a file of the record has, in each of the ways to keep it. asks: columns of which a file mostly has one,
    so that one is asked for where none is found. past: days that are over at the import.
    """

    name: str
    columns: Mapping[str, Column]
    grain: str = ""
    key: tuple[str, ...] = ()
    rules: tuple[Rule, ...] = ()
    made_from: MadeFrom | None = None
    sorts: tuple[tuple[str, ...], ...] = ()
    shapes: tuple[tuple[str, ...], ...] = field(default=())
    asks: tuple[str, ...] = ()
    past: tuple[str, ...] = ()


def contract(
    name: str, columns: str, grain: str = "", rules: Sequence[Rule] = (), made_from: MadeFrom | None = None
) -> Contract:
    """A built table's contract: every column is named, those of the key are unique, `rules` hold in each row.

    columns: those of models/columns, parted by blanks: the key, a bar, the others; `name?` may be unknown. made_from:
    every table that is shown has it. Raises KeyError for any other column.
    """
    key, listed = _parted(columns)
    return Contract(
        name=name, columns=built_columns(listed), grain=grain, key=key, rules=tuple(rules), made_from=made_from
    )


def record(
    name: str,
    grain: str,
    columns: str,
    rules: Sequence[Rule] = (),
    sorts: Sequence[Sequence[str]] = (),
    shapes: Sequence[str] = (),
    asks: Sequence[str] = (),
    past: str = "",
) -> Contract:
    """The same for a kind of record.

    sorts: columns whose values may come in any order, the greatest stored first. shapes: columns that a file of the
    kind has, where there are several ways to keep it; else those that every row needs. asks: columns of which a file
    mostly has one. past: days that cannot be later than the day of the import.
    """
    key, listed = _parted(columns)
    known = record_columns(listed, name)
    needed = tuple(each for each, column in known.items() if not column.nullable)
    return Contract(
        name=name,
        columns=known,
        grain=grain,
        key=key,
        rules=tuple(rules),
        sorts=tuple(map(tuple, sorts)),
        shapes=tuple(tuple(shape.split()) for shape in shapes) or (needed,),
        asks=tuple(asks),
        past=tuple(past.split()),
    )


def _parted(columns: str) -> tuple[tuple[str, ...], str]:
    """The names of the key, and all columns without the bar."""
    key, bar, others = columns.partition("|")
    return (tuple(key.replace("?", "").split()) if bar else ()), f"{key} {others}"


def names(contract: Contract, but: str = "") -> str:
    """The contract's columns as another states them, without some: a table that carries a whole record."""
    kept = {name: column for name, column in contract.columns.items() if name not in but.split()}
    listed = [f"{name}?" if column.nullable else name for name, column in kept.items()]
    listed.insert(len(contract.key), "|")
    return " ".join(listed)


def typed(rows: pd.DataFrame, contract: Contract) -> pd.DataFrame:
    """The rows with columns of the contract's types, not held to anything else."""
    return rows.astype({name: column.quantity.dtype for name, column in contract.columns.items()})


def validated(rows: pd.DataFrame, contract: Contract, affected: str) -> pd.DataFrame:
    """The rows, typed as the contract says. Raises ContractError that names each broken column and reason."""
    from models import schemas

    return schemas.validated(rows, contract, affected)
