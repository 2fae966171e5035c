"""The contract read by pandera, by the engine and by comparing whole columns says the same of every row."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pandas as pd
import pytest
from pandera.errors import SchemaErrors

from models.contracts import Contract
from models.fields import Column, Quantity
from models.predicates import predicates
from models.reference import RECORDS
from models.schemas import plainly_whole, schema
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


def anything(quantity: Quantity) -> Column:
    """A column that may hold whatever the quantity is."""
    return Column(quantity, "", None, nullable=True, checks=())


def alone(contract: Contract) -> dict[str, Contract]:
    """Each column, and each rule on columns that may hold anything, as a contract of its own."""
    columns = {
        name: replace(contract, columns={name: column}, key=(), rules=()) for name, column in contract.columns.items()
    }
    free = {name: anything(column.quantity) for name, column in contract.columns.items()}
    rules = {
        rule.reason: replace(contract, columns={name: free[name] for name in rule.columns}, key=(), rules=(rule,))
        for rule in contract.rules
    }
    return columns | rules


@pytest.mark.parametrize("kind", sorted(RECORDS))
def test_comparing_whole_columns_finds_what_pandera_finds(kind: str) -> None:
    frame = odd_rows(kind)
    wanted = broken_by_pandera(kind, frame)
    for name, contract in alone(RECORDS[kind]).items():
        each = frame[list(contract.columns)]
        rows = each.drop_duplicates().index
        found = {row for row in rows if plainly_whole(each.loc[[row]], contract) is None}
        assert found == {row for row in rows if name in wanted[row]}, name
        assert (plainly_whole(each, contract) is None) == bool(found), name


def test_what_holds_has_the_types_that_pandera_gives() -> None:
    columns = {quantity.name.lower(): anything(quantity) for quantity in Quantity}
    contract = Contract(name="test.all", columns=columns, key=(), rules=())
    plain = {"VARCHAR": "a", "BIGINT": 5, "DOUBLE": 0.5, "BOOLEAN": True, "DATE": "2026-10-03"}
    rows = pd.DataFrame([{name: plain.get(each.sql_type, "2026-10-03 14:25:00") for name, each in columns.items()}, {}])
    found = plainly_whole(rows, contract)
    assert found is not None
    # Pandera gives instants to a thousand times the precision that contract and engine keep.
    days = {name: "datetime64[us]" for name, each in columns.items() if each.sql_type in ("DATE", "TIMESTAMP")}
    pd.testing.assert_frame_equal(found, schema(contract).validate(rows).astype(days))


def test_a_key_that_stands_twice_and_a_column_too_many_or_too_few_are_no_whole_rows() -> None:
    contract = RECORDS["skus"]
    rows = pd.DataFrame([{"sku": "S1", "item_type": "tripod"}, {"sku": "S2", "item_type": "tripod"}])
    rows = rows.reindex(columns=list(contract.columns))
    assert plainly_whole(rows, contract) is not None
    assert plainly_whole(rows.assign(sku="S1"), contract) is None
    assert plainly_whole(rows.assign(more=1), contract) is None
    assert plainly_whole(rows.drop(columns="item_type"), contract) is None


def test_every_quantity_is_tried() -> None:
    tried = {column.quantity for schema in RECORDS.values() for column in schema.columns.values()}
    assert set(Quantity) - tried <= {Quantity.FRACTION, Quantity.NUMBER}
