"""A contract is a pandera schema that also knows its grain, its key and the rules between its columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd
import pandera.pandas as pa
from pandera.errors import SchemaErrors

from models.columns import built_columns, record_columns
from models.errors import ContractError
from models.fields import SQL_TYPES, Quantity
from models.made_from import MadeFrom
from models.rules import Rule


def contract(
    name: str, grain: str, key: str, names: str, rules: Sequence[Rule] = (), made_from: MadeFrom | None = None
) -> pa.DataFrameSchema:
    """A built table's schema: `key` is unique, every column is named, `rules` hold in each row.

    key, names: columns of models/columns, parted by blanks; `name?` may be unknown. made_from: the rows behind a row;
    every table that is shown has it. Raises KeyError for any other column.
    """
    return schema_of(name, grain, key.split(), built_columns(names), rules, made_from)


def record(
    name: str,
    grain: str,
    key: str,
    names: str,
    rules: Sequence[Rule] = (),
    sorts: Sequence[Sequence[str]] = (),
    shapes: Sequence[str] = (),
) -> pa.DataFrameSchema:
    """The same for a kind of record.

    sorts: columns whose values may come in any order, the greatest stored first. shapes: columns that a file of the
    kind has, where there are several ways to keep it; else those that every row needs.
    """
    schema = schema_of(name, grain, key.split(), record_columns(names, name), rules)
    needed = tuple(each for each, column in schema.columns.items() if not column.nullable)
    schema.metadata["sorts"] = tuple(map(tuple, sorts))
    schema.metadata["shapes"] = tuple(tuple(shape.split()) for shape in shapes) or (needed,)
    return schema


def schema_of(
    name: str,
    grain: str,
    key: Sequence[str],
    columns: Mapping[str, pa.Column],
    rules: Sequence[Rule] = (),
    made_from: MadeFrom | None = None,
) -> pa.DataFrameSchema:
    """A strict schema of any columns."""
    return pa.DataFrameSchema(
        dict(columns),
        checks=[_rule_check(rule) for rule in rules],
        unique=list(key) or None,
        strict=True,
        ordered=False,
        name=name,
        description=grain,
        metadata={"grain": grain, "key": tuple(key), "rules": tuple(rules), "made_from": made_from},
    )


def names(schema: pa.DataFrameSchema, but: str = "") -> str:
    """The schema's columns as another contract names them, without some: a table that carries a whole record."""
    kept = {name: column for name, column in schema.columns.items() if name not in but.split()}
    return " ".join(f"{name}?" if column.nullable else name for name, column in kept.items())


def _rule_check(rule: Rule) -> pa.Check:
    return pa.Check(rule.holds, name=rule.reason, error=rule.reason, ignore_na=False)


def key(schema: pa.DataFrameSchema) -> tuple[str, ...]:
    """The columns that identify a row."""
    return tuple(schema.metadata["key"])


def rules(schema: pa.DataFrameSchema) -> tuple[Rule, ...]:
    """The rules between columns."""
    return tuple(schema.metadata["rules"])


def sorts(schema: pa.DataFrameSchema) -> tuple[tuple[str, ...], ...]:
    """Groups of columns whose values are sorted when they are read, the greatest first."""
    return tuple(schema.metadata.get("sorts", ()))


def shapes(schema: pa.DataFrameSchema) -> tuple[tuple[str, ...], ...]:
    """The ways to keep a kind of record: the columns that a file has in each."""
    return tuple(schema.metadata["shapes"])


def made_from(schema: pa.DataFrameSchema) -> MadeFrom | None:
    """The rows that its rows are made from; None where a table does not say."""
    found: MadeFrom | None = schema.metadata["made_from"]
    return found


def quantity(column: pa.Column) -> Quantity:
    """What the column measures."""
    return Quantity(column.metadata["quantity"])


def sql_type(column: pa.Column) -> str:
    """The column's type in the engine."""
    return SQL_TYPES[quantity(column)]


def validated(rows: pd.DataFrame, schema: pa.DataFrameSchema, affected: str) -> pd.DataFrame:
    """The rows, typed as the contract says. Raises ContractError that names each broken column and reason."""
    try:
        typed: pd.DataFrame = schema.validate(rows, lazy=True)
        return typed
    except SchemaErrors as broken:
        raise ContractError(
            where=str(schema.name),
            what=_broken_reasons(broken.failure_cases),
            affected=affected,
            next_step="look at the named columns in the model that builds this table",
        ) from None


def _broken_reasons(cases: Any) -> str:
    reasons = cases.groupby(["column", "check"], dropna=False).size()
    return "; ".join(f"{column}: {check} ({rows} rows)" for (column, check), rows in reasons.items())
