"""A contract's checks as SQL conditions, each true for the rows that break it. Derived from the contract alone."""

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from models.contracts import Contract
from models.fields import PLAIN_LINE, Column, Condition, Quantity
from models.rules import Rule, in_order
from models.sql_quoting import literal


@dataclass(frozen=True)
class Predicate:
    """`sql` is true for a broken row, null or false for any other; `reason` says in words what is broken."""

    columns: tuple[str, ...]
    reason: str
    sql: str


def predicates(
    schema: Contract, *, is_sorted: bool = True, is_marked: bool = True, imported_on: dt.date | None = None
) -> tuple[Predicate, ...]:
    """Every condition of the contract: missing values, each column's checks, the rules between columns.

    is_sorted: what a record sorts may come in any order; else it is held to its order, as it was until November 2026.
    is_marked: any way to keep the record will do; else all columns of its first shape are needed, as they were then.
    imported_on: what must be over by then is held to it; None where nobody asked, as it was then.
    """
    order = () if is_sorted else (rule for columns in schema.sorts for rule in in_order(columns))
    freed = frozenset[str]() if is_marked else frozenset(schema.shapes[0]) - set(needed_columns(schema))
    stated = (rule for rule in schema.rules if not freed & set(rule.columns))
    rules = (*map(_rule, order), *map(_rule, stated))
    return (*missing_values(schema, freed), *broken_checks(schema), *_to_come(schema, imported_on), *rules)


def _to_come(schema: Contract, imported_on: dt.date | None) -> Iterator[Predicate]:
    if imported_on is not None:
        reason = f"is later than the import on {imported_on}: correct the day, or import the row again when it is over"
        for name in schema.past:
            yield Predicate((name,), reason, f"{name} > date '{imported_on}'")


def needed_columns(schema: Contract) -> tuple[str, ...]:
    """Columns that every row has."""
    return tuple(name for name, column in schema.columns.items() if not column.nullable)


def missing_values(schema: Contract, more: frozenset[str] = frozenset()) -> tuple[Predicate, ...]:
    """Columns that must be known, and `more` of them."""
    needed = {*needed_columns(schema), *more}
    return tuple(Predicate((name,), "is missing", f"{name} is null") for name in schema.columns if name in needed)


def broken_checks(schema: Contract) -> tuple[Predicate, ...]:
    """Ranges, lists and patterns of single columns."""
    return tuple(predicate for name, column in schema.columns.items() for predicate in _column_predicates(name, column))


def broken_row(conditions: Sequence[Predicate]) -> Iterator[str]:
    """The conditions' SQL, those on the signs of texts as one: to look through a row's texts at once is quicker."""
    lines = [each for each in conditions if each.sql == _differs_from(PLAIN_LINE, each.columns[0])]
    yield from (f"({predicate.sql})" for predicate in conditions if predicate not in lines)
    if lines:
        yield _differs_from(PLAIN_LINE, f"concat({', '.join(each.columns[0] for each in lines)})")


def _differs_from(pattern: str, text: str) -> str:
    return f"not regexp_matches({text}, '{pattern}')"


def _rule(rule: Rule) -> Predicate:
    return Predicate(rule.columns, rule.reason, rule.broken_sql)


def _column_predicates(name: str, column: Column) -> Iterator[Predicate]:
    for check in column.checks:
        reason, sql = _CHECKS[check.test](name, column, check.bound)
        yield Predicate((name,), reason, sql)


Rendered = tuple[str, str]


def _beyond(words: str, sign: str) -> Callable[[str, Column, Any], Rendered]:
    def rendered(name: str, column: Column, bound: Any) -> Rendered:
        return f"{words} {bound}{_unit(column)}", f"{name} {sign} {_literal(column, bound)}"

    return rendered


def _among(name: str, column: Column, bound: Any) -> Rendered:
    listed = ", ".join(_literal(column, word) for word in bound)
    return f"is none of {', '.join(map(str, bound))}", f"{name} not in ({listed})"


def _not_longer(name: str, column: Column, bound: Any) -> Rendered:
    # The number of bytes is stored with a text, characters are counted; `and` would count them in every row.
    return f"has more than {bound} characters", f"case when strlen({name}) > {bound} then length({name}) > {bound} end"


def _matches(name: str, column: Column, bound: Any) -> Rendered:
    return "holds a control character", _differs_from(bound, name)


_CHECKS: dict[Condition, Callable[[str, Column, Any], Rendered]] = {
    Condition.AT_LEAST: _beyond("is less than", "<"),
    Condition.MORE_THAN: _beyond("is not more than", "<="),
    Condition.AT_MOST: _beyond("is more than", ">"),
    Condition.AMONG: _among,
    Condition.NOT_LONGER: _not_longer,
    Condition.MATCHES: _matches,
}


def _unit(column: Column) -> str:
    """The unit after a bound, where the source may have written the value in another."""
    measured = (Quantity.MONEY, Quantity.LENGTH, Quantity.WEIGHT, Quantity.MINUTES)
    return f" {column.quantity.unit}" if column.quantity in measured else ""


def _literal(column: Column, bound: object) -> str:
    if column.quantity in (Quantity.DATE, Quantity.INSTANT):
        return f"date '{bound}'"
    if isinstance(bound, str):
        return literal(bound)
    return str(bound)
