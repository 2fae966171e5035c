"""Contracts as pandera reads them: rows that Python made or changed are held to their contract here.

What the engine makes is held to the same contract as SQL (models/predicates.py), so most commands never come here.
"""

import operator
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
# The same of known values, as plain comparisons of a whole column.
_HOLDS: dict[Condition, Callable[[pd.Series, Any], pd.Series]] = {
    Condition.AT_LEAST: operator.ge,
    Condition.MORE_THAN: operator.gt,
    Condition.AT_MOST: operator.le,
    Condition.AMONG: lambda known, words: known.isin(words),
    Condition.NOT_LONGER: lambda known, signs: known.str.len() <= signs,
    Condition.MATCHES: lambda known, pattern: known.str.match(pattern),
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
    if (whole := plainly_whole(rows, contract)) is not None:
        return whole
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


def plainly_whole(rows: pd.DataFrame, contract: Contract) -> pd.DataFrame | None:
    """The rows, typed, where comparing whole columns finds nothing broken; None where something may be.

    Pandera, which tells what is broken and where, takes milliseconds for each column even of an empty table.
    """
    if set(rows.columns) != set(contract.columns) or len(rows.columns) != len(contract.columns):
        return None
    try:
        found = typed(rows, contract)
    except (TypeError, ValueError):
        return None
    columns = contract.columns.items()
    are_held = all(_is_held(found[name], column) for name, column in columns) and not _repeats(found, contract)
    return found if are_held and all(rule.holds(found).all() for rule in contract.rules) else None


def _is_held(cells: pd.Series, column: Column) -> bool:
    if column.nullable and not column.checks:
        return True
    is_known = cells.notna()
    if is_known.all():
        known = cells
    elif column.nullable:
        known = cells[is_known]
    else:
        return False
    return all(bool(_HOLDS[check.test](known, check.bound).all()) for check in column.checks)


def _repeats(rows: pd.DataFrame, contract: Contract) -> bool:
    return bool(contract.key) and bool(rows.duplicated(list(contract.key)).any())


def _broken_reasons(cases: Any) -> str:
    reasons = cases.groupby(["column", "check"], dropna=False).size()
    return "; ".join(f"{column}: {check} ({rows} rows)" for (column, check), rows in reasons.items())
