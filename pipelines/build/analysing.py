"""Runs the analyses on the marts: fetch what each reads, call it, hold its answer to the contract, store it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

import pandas as pd

from models.analyses import ANALYSES, Analysis, Question
from models.errors import ContractError
from models.sql_texts import sql_texts
from models.tables import TABLES
from pipelines.build.loading import load_rows
from pipelines.shop import warehouse


def analyse(
    connection: warehouse.Connection,
    options: Mapping[str, Any],
    analyses: Sequence[Analysis] = ANALYSES,
    progress: Callable[[str], None] = lambda name: None,
) -> None:
    """Run every analysis on the tables just built. Raises ContractError where an answer breaks its contract."""
    day, tables, worked_out = as_of(connection), dict[str, pd.DataFrame](), dict[str, Any]()
    for analysis in analyses:
        progress(analysis.name)
        names = (*analysis.reads, *_found(connection, analysis))
        tables = _fetched(connection, names, tables)
        given = {name: rows.copy(deep=False) for name, rows in tables.items()}  # what it does to them stays with it
        answers = analysis.compute(Question(given, day, options, worked_out))
        for name in analysis.writes:
            store(connection, name, answers[name])


def _fetched(
    connection: warehouse.Connection, names: Sequence[str], before: Mapping[str, pd.DataFrame]
) -> dict[str, pd.DataFrame]:
    """The tables of these names. A mart that the analysis before read too is not fetched again: none changes a mart."""
    return {
        name: before[name] if name in before and name.startswith("marts.") else _read(connection, name)
        for name in names
    }


def _found(connection: warehouse.Connection, analysis: Analysis) -> list[str]:
    """Of the tables that it may read, those that stand in the warehouse."""
    if not analysis.may_read:
        return []
    rows = connection.execute("select table_schema || '.' || table_name from information_schema.tables").fetchall()
    standing = {row[0] for row in rows}
    return [name for name, needed in analysis.may_read.items() if standing.issuperset(needed)]


def as_of(connection: warehouse.Connection) -> date:
    """The last day that parcels, charges or claims know; today means nothing to a history."""
    found = connection.execute(
        "select max(last_on) from marts.record_states where kind in ('weights', 'charges', 'claims')"
    ).fetchall()[0][0]
    return found if isinstance(found, date) else date(2000, 1, 1)


def store(connection: warehouse.Connection, name: str, answer: pd.DataFrame) -> None:
    """Replace an analysis table by the answer, typed as its contract says and held to it. Raises ContractError."""
    contract = TABLES[name]
    if differing := sorted(set(answer.columns) ^ set(contract.columns)):
        raise ContractError(
            name, f"columns differ: {', '.join(differing)}", "the review", "bring analysis and contract together"
        )
    load_rows(connection, contract, answer)


def _read(connection: warehouse.Connection, name: str) -> pd.DataFrame:
    """Its rows in one order, whatever the engine's threads made of it: sums of fractions hang on the order."""
    query = sql_texts("queries").get(name, f"select * from {name}")
    return connection.execute(f"select * from ({query.rstrip().rstrip(';')}\n) order by all").df()
