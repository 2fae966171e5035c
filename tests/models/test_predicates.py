"""The contract read by pandera and the contract read by the engine say the same of every row."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pandera.errors import SchemaErrors

from models.contracts import quantity, sql_type
from models.fields import Quantity
from models.predicates import predicates
from models.reference import RECORDS
from pipelines import warehouse

ODD: dict[str, list[Any]] = {
    "VARCHAR": ["a", "", "damage", "base", "any", "x" * 201, "two\nlines", "nul\x00", None],
    "BIGINT": [-(10**12), -1, 0, 1, 5, 10**12, None],
    "DOUBLE": [-1.0, 0.0, 0.5, 1.0, 47.5, 10_001.0, None],
    "BOOLEAN": [True, False, None],
    "DATE": ["1999-12-31", "2000-01-01", "2026-10-03", "2100-01-02", None],
    "TIMESTAMP": ["1999-12-31 23:59:00", "2026-10-03 14:25:00", None],
}


def broken_by_pandera(kind: str, row: dict[str, Any]) -> set[str]:
    """The columns and rules that pandera finds broken in one row."""
    schema = RECORDS[kind]
    frame = pd.DataFrame({name: [row[name]] for name in schema.columns})
    frame = frame.astype({name: column.dtype.type for name, column in schema.columns.items()})
    try:
        schema.validate(frame, lazy=True)
    except SchemaErrors as broken:
        cases = broken.failure_cases
        columns = cases[cases["schema_context"] == "Column"]["column"]
        rules = cases[cases["schema_context"] == "DataFrameSchema"]["check"]
        return {str(name) for name in (*columns, *rules)}
    return set()


def broken_by_engine(connection: warehouse.Connection, kind: str, row: dict[str, Any]) -> set[str]:
    """The columns and rules that the engine finds broken in the same row."""
    schema = RECORDS[kind]
    typed = ", ".join(f"cast(? as {sql_type(column)}) as {name}" for name, column in schema.columns.items())
    conditions = predicates(schema)
    asked = ", ".join(f"coalesce({condition.sql}, false)" for condition in conditions)
    found = connection.execute(
        f"select {asked} from (select {typed}) as one", [row[name] for name in schema.columns]
    ).fetchall()[0]
    return {
        condition.columns[0] if len(condition.columns) == 1 else condition.reason
        for condition, is_broken in zip(conditions, found, strict=True)
        if is_broken
    }


@pytest.fixture(scope="module")
def connection() -> Iterator[warehouse.Connection]:
    with warehouse.scratch() as opened:
        yield opened


@pytest.mark.parametrize("kind", sorted(RECORDS))
@settings(derandomize=True, deadline=None, max_examples=40)
@given(chosen=st.data())
def test_both_readings_agree(connection: warehouse.Connection, kind: str, chosen: st.DataObject) -> None:
    schema = RECORDS[kind]
    row = {name: chosen.draw(st.sampled_from(ODD[sql_type(column)]), name) for name, column in schema.columns.items()}
    assert broken_by_pandera(kind, row) == broken_by_engine(connection, kind, row)


def test_every_quantity_is_tried() -> None:
    tried = {quantity(column) for schema in RECORDS.values() for column in schema.columns.values()}
    assert set(Quantity) - tried <= {Quantity.FRACTION, Quantity.NUMBER}
