"""Contracts as pandera reads them: rows that Python made or changed are held to their contract here.

What the engine makes is held to the same contract as SQL (models/predicates.py), so most commands never come here.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, partial
from typing import Any

import pandas as pd
import pandera.pandas as pa
from pandera.errors import SchemaErrors

from models.contracts import Contract, typed
from models.errors import ContractError
from models.fields import Check, Column, Condition
from models.rules import Rule

_CHECKS: dict[Condition, Callable[[Any], pa.Check]] = {
    Condition.AT_LEAST: pa.Check.ge,
    Condition.MORE_THAN: pa.Check.gt,
    Condition.AT_MOST: pa.Check.le,
    Condition.AMONG: pa.Check.isin,
    Condition.NOT_LONGER: partial(pa.Check.str_length, None),
    Condition.MATCHES: pa.Check.str_matches,
}


@cache
def schema(contract: Contract) -> pa.DataFrameSchema:
    """The contract as a strict schema that also types the columns."""
    return pa.DataFrameSchema(
        {name: _column(column) for name, column in contract.columns.items()},
        checks=[_rule_check(rule) for rule in contract.rules],
        unique=list(contract.key) or None,
        strict=True,
        ordered=False,
        name=contract.name,
    )


def _column(column: Column) -> pa.Column:
    checks = [_check(check) for check in column.checks]
    return pa.Column(column.quantity.dtype, checks=checks, nullable=column.nullable, coerce=True)


def _check(check: Check) -> pa.Check:
    return _CHECKS[check.test](check.bound)


def _rule_check(rule: Rule) -> pa.Check:
    return pa.Check(rule.holds, name=rule.reason, error=rule.reason, ignore_na=False)


def validated(rows: pd.DataFrame, contract: Contract, affected: str) -> pd.DataFrame:
    """The rows, typed as the contract says. Raises ContractError that names each broken column and reason."""
    if rows.empty and set(rows.columns) == set(contract.columns):
        return typed(rows, contract)  # nothing can break it, and most tables of a small shop have no row
    try:
        found: pd.DataFrame = schema(contract).validate(rows, lazy=True)
        return found
    except SchemaErrors as broken:
        raise ContractError(
            where=contract.name,
            what=_broken_reasons(broken.failure_cases),
            affected=affected,
            next_step="look at the named columns in the model that builds this table",
        ) from None


def _broken_reasons(cases: Any) -> str:
    reasons = cases.groupby(["column", "check"], dropna=False).size()
    return "; ".join(f"{column}: {check} ({rows} rows)" for (column, check), rows in reasons.items())
