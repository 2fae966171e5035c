"""Checks are SQL files that return the bad rows: some stop the build, some are printed in the review."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import pandas as pd

from models.contracts import sql_type
from models.errors import CheckFailedError
from models.fields import LONGEST_TEXT
from models.tables import TABLES
from pipelines import warehouse
from pipelines.build.holding import hold_to_contract

SHOWN_ROWS = 3


@dataclass(frozen=True)
class CheckResult:
    """What a check found: its name, what it means (its first comment) and the bad rows."""

    name: str
    meaning: str
    rows: pd.DataFrame


def run_checks(connection: warehouse.Connection, severity: str) -> list[CheckResult]:
    """Every check of models/sql/checks/SEVERITY with the rows it found."""
    return [
        CheckResult(name, _first_comment(sql), connection.execute(sql).df())
        for name, sql in warehouse.sql_texts(f"checks/{severity}").items()
    ]


def _first_comment(sql: str) -> str:
    return " ".join(line.removeprefix("--").strip() for line in sql.splitlines() if line.startswith("--"))


def write_warnings(connection: warehouse.Connection, results: Iterable[CheckResult]) -> None:
    """Keep in analysis.warnings what the warn checks found."""
    found = [
        (
            result.name.replace("_", " "),
            result.meaning,
            len(result.rows),
            _examples(result.rows)[:LONGEST_TEXT],
        )
        for result in results
        if len(result.rows)
    ]
    contract = TABLES["analysis.warnings"]
    typed = ", ".join(f"{name} {sql_type(column)}" for name, column in contract.columns.items())
    connection.execute(f"create or replace table analysis.warnings ({typed})")
    if found:
        connection.executemany("insert into analysis.warnings values (?, ?, ?, ?)", found)
    hold_to_contract(connection, "analysis.warnings", contract)


def _examples(rows: pd.DataFrame) -> str:
    """The first rows in words: `parcel_id NL1, shipped_on 2026-10-03; ...`."""
    shown = rows.head(SHOWN_ROWS).astype(str).to_dict("records")
    return "; ".join(", ".join(f"{name} {value}" for name, value in row.items()) for row in shown)


def stop_on(results: Iterable[CheckResult]) -> None:
    """Raise CheckFailedError for the first check that found rows."""
    for result in results:
        if len(result.rows):
            raise CheckFailedError(
                result.name,
                f"{len(result.rows)} rows break it, such as {_examples(result.rows)}",
                f"the whole build; the last one stays. The check says: {result.meaning}",
                "run `dunnage trace` on the named rows, or report this with the rows",
            )
