"""Checks are SQL files that return the bad rows: some stop the build, some are printed in the review."""

from collections.abc import Iterable
from dataclasses import dataclass

import pandas as pd

from dashboards.formats import spoken
from models import columns
from models.errors import CheckFailedError
from models.fields import LONGEST_TEXT
from models.shop_units import Units
from models.sql_texts import sql_texts
from models.tables import TABLES
from pipelines.build.contract_checks import hold_rows
from pipelines.build.making import empty
from pipelines.build.sql_models import references
from pipelines.build.without_rows import read
from pipelines.shop import warehouse

SHOWN_ROWS = 3


@dataclass(frozen=True)
class CheckResult:
    """What a check found: its name, what it means (its first comment), how many bad rows, and the first few."""

    name: str
    meaning: str
    row_count: int
    shown: pd.DataFrame


def run_checks(connection: warehouse.Connection, severity: str) -> list[CheckResult]:
    """Every check of models/sql/checks/SEVERITY with the rows it found."""
    texts = sql_texts(f"checks/{severity}")
    without = empty(connection, frozenset().union(*map(references, texts.values())))
    return [
        CheckResult(name, _first_comment(sql), 0, pd.DataFrame())
        if read(sql).is_empty(without)
        else _run(connection, name, sql)
        for name, sql in texts.items()
    ]


def _run(connection: warehouse.Connection, name: str, sql: str) -> CheckResult:
    ((rows,),) = connection.execute(f"create or replace temp table bad_rows as {sql}").fetchall()
    if not rows:
        return CheckResult(name, _first_comment(sql), 0, pd.DataFrame())
    shown = connection.execute(f"select * from bad_rows order by all limit {SHOWN_ROWS}").df()
    return CheckResult(name, _first_comment(sql), int(rows), shown)


def _first_comment(sql: str) -> str:
    return " ".join(line.removeprefix("--").strip() for line in sql.splitlines() if line.startswith("--"))


def write_warnings(connection: warehouse.Connection, results: Iterable[CheckResult], units: Units) -> None:
    """Keep in analysis.warnings what the warn checks found."""
    found = [
        (result.name.replace("_", " "), result.meaning, result.row_count, _in_words(result.shown, units))
        for result in results
        if result.row_count
    ]
    contract = TABLES["analysis.warnings"]
    typed = ", ".join(f"{name} {column.sql_type}" for name, column in contract.columns.items())
    connection.execute(f"create or replace table analysis.warnings ({typed})")
    if found:
        connection.executemany("insert into analysis.warnings values (?, ?, ?, ?)", found)
    hold_rows(connection, "analysis.warnings", contract, len(found))


def _in_words(rows: pd.DataFrame, units: Units) -> str:
    """The first rows as a reader is shown them, as many as a text holds: `Parcel NL1, Shipped 3 Oct 2026; ...`."""
    told = ""
    for row in rows.to_dict("records"):
        line = ", ".join(f"{columns.label(str(name))} {spoken(cell, str(name), units)}" for name, cell in row.items())
        if told and len(told) + len(line) + 2 > LONGEST_TEXT:
            break
        told = f"{told}; {line}" if told else line[:LONGEST_TEXT]
    return told


def _examples(rows: pd.DataFrame) -> str:
    """The first rows for whoever traces them: `parcel_id NL1, shipped_on 2026-10-03; ...`."""
    shown = rows.astype(str).to_dict("records")
    return "; ".join(", ".join(f"{name} {value}" for name, value in row.items()) for row in shown)


def stop_on(results: Iterable[CheckResult]) -> None:
    """Raise CheckFailedError for the first check that found rows."""
    for result in results:
        if result.row_count:
            raise CheckFailedError(
                result.name,
                f"{result.row_count} rows break it, such as {_examples(result.shown)}",
                f"the whole build; the last one stays. The check says: {result.meaning}",
                "run `dunnage trace` on the named rows, or report this with the rows",
            )
