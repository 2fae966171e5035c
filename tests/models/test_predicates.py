"""The contract read by pandera and the contract read by the engine say the same of every row."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

import pandas as pd
import pytest
from pandera.errors import SchemaErrors

from models.fields import Quantity
from models.predicates import predicates
from models.reference import RECORDS
from models.schemas import schema
from pipelines.shop import warehouse

ODD: dict[str, list[Any]] = {
    "VARCHAR": ["a", "", "damage", "base", "any", "x" * 201, "two\nlines", "nul\x00", None],
    "BIGINT": [-(10**12), -1, 0, 1, 5, 10**12, None],
    "DOUBLE": [-1.0, 0.0, 0.5, 1.0, 47.5, 10_001.0, None],
    "BOOLEAN": [True, False, None],
    "DATE": ["1999-12-31", "2000-01-01", "2026-10-03", "2100-01-02", None],
    "TIMESTAMP": ["1999-12-31 23:59:00", "2026-10-03 14:25:00", None],
}


ROWS = 150
# A key that stands twice concerns no row by itself.
KEY_REPEATS = "multiple_fields_uniqueness"


def odd_rows(kind: str) -> pd.DataFrame:
    """Rows of odd values, each column's drawn by itself."""
    chance = random.Random(kind)
    columns = RECORDS[kind].columns.items()
    frame = pd.DataFrame({name: chance.choices(ODD[column.sql_type], k=ROWS) for name, column in columns})
    return frame.astype({name: column.quantity.dtype for name, column in columns})


def broken_by_pandera(kind: str, frame: pd.DataFrame) -> list[set[str]]:
    """The columns and rules that pandera finds broken in each row."""
    found: list[set[str]] = [set() for _ in range(len(frame))]
    try:
        schema(RECORDS[kind]).validate(frame, lazy=True)
    except SchemaErrors as broken:
        for case in broken.failure_cases.to_dict("records"):
            name = case["column"] if case["schema_context"] == "Column" else case["check"]
            if name != KEY_REPEATS:
                found[int(case["index"])].add(str(name))
    return found


def broken_by_engine(connection: warehouse.Connection, kind: str, frame: pd.DataFrame) -> list[set[str]]:
    """The columns and rules that the engine finds broken in each of the same rows."""
    schema = RECORDS[kind]
    conditions = predicates(schema)
    asked = ", ".join(f"coalesce({condition.sql}, false)" for condition in conditions)
    typed = ", ".join(f"cast({name} as {column.sql_type}) as {name}" for name, column in schema.columns.items())
    connection.register("odd_rows", frame)
    answers = connection.execute(f"select {asked} from (select {typed} from odd_rows) as one").fetchall()
    names = [each.columns[0] if len(each.columns) == 1 else each.reason for each in conditions]
    return [{name for name, is_broken in zip(names, row, strict=True) if is_broken} for row in answers]


@pytest.fixture(scope="module")
def connection() -> Iterator[warehouse.Connection]:
    with warehouse.scratch() as opened:
        yield opened


@pytest.mark.parametrize("kind", sorted(RECORDS))
def test_both_readings_agree(connection: warehouse.Connection, kind: str) -> None:
    frame = odd_rows(kind)
    wanted = broken_by_pandera(kind, frame)
    assert broken_by_engine(connection, kind, frame) == wanted
    assert any(wanted)


def test_every_quantity_is_tried() -> None:
    tried = {column.quantity for schema in RECORDS.values() for column in schema.columns.values()}
    assert set(Quantity) - tried <= {Quantity.FRACTION, Quantity.NUMBER}
