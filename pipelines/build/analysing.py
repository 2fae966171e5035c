"""Runs the analyses on the marts: fetch what each reads, call it, hold its answer to the contract, store it."""

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

SMALL = 10_000  # rows that may lie in memory while later analyses work


def analyse(
    connection: warehouse.Connection,
    options: Mapping[str, Any],
    analyses: Sequence[Analysis] = ANALYSES,
    progress: Callable[[str], None] = lambda name: None,
) -> None:
    """Run every analysis on the tables just built. Raises ContractError where an answer breaks its contract."""
    day, tables, worked_out = as_of(connection), dict[str, pd.DataFrame](), dict[str, Any]()
    standing = set(warehouse.standing(connection))
    for analysis in analyses:
        progress(analysis.name)
        names = (*analysis.reads, *(name for name, needed in analysis.may_read.items() if standing.issuperset(needed)))
        tables = _fetched(connection, names, tables)
        given = {name: tables[name].copy(deep=False) for name in names}  # what it does to them stays with it
        answers = analysis.compute(Question(given, day, options, worked_out))
        for name in analysis.writes:
            store(connection, name, answers[name])
            standing.add(name)


def _fetched(
    connection: warehouse.Connection, names: Sequence[str], before: Mapping[str, pd.DataFrame]
) -> dict[str, pd.DataFrame]:
    """The tables of these names, and small marts fetched before.

    No analysis changes a mart, so it is not fetched again: a large one for the next analysis, a small one for any.
    """
    kept = {name: rows for name, rows in before.items() if name.startswith("marts.")}
    small = {name: rows for name, rows in kept.items() if len(rows) <= SMALL}
    return small | {name: kept[name] if name in kept else _read(connection, name) for name in names}


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
