"""The data dictionary: what each kind of record holds, from the contracts and nothing else."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from models.contracts import Contract
from models.fields import LONGEST_TEXT, Column, Condition, Quantity
from models.reference import RECORDS
from models.shop_units import Units, measure_of, number

# What stands for a parcel in the file of the bench list: the three marks to be typed, the sale where no label could
# name it, and the packing method that a trial assigned it.
BENCH_LIST = ("parcel_id", "sale_id", "carton_code", "packing_method", "assigned_method")


@dataclass(frozen=True)
class Entry:
    """One column of a contract, in words."""

    column: str
    meaning: str
    unit: str
    is_needed: bool
    example: str
    allowed: str


def entries(schema: Contract, units: Units) -> tuple[Entry, ...]:
    """The columns in the contract's order, as a shop of these units sees them."""
    return tuple(
        Entry(
            column=units.name(name),
            meaning=units.converted(column.meaning),
            unit=units.sign(name) or column.quantity.unit,
            is_needed=not column.nullable,
            example=example(name, column, units),
            allowed=allowed(column, units.factor(name)),
        )
        for name, column in schema.columns.items()
    )


def example(name: str, column: Column, units: Units) -> str:
    """The column's example as it stands in a file of the shop."""
    value, measure = column.example, measure_of(name)
    return units.written(measure, value).replace(",", "") if measure and units.is_metric else spoken(value)


def spoken(value: object) -> str:
    """A value as it is written in a file: yes and no, no exponent, no trailing point."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6f}".rstrip("0").rstrip(".") if not value.is_integer() else f"{value:.1f}"
    return str(value)


def allowed(column: Column, factor: float = 1.0) -> str:
    """What the column's checks let through, bounds by a factor."""
    stated = {check.test: check.bound for check in column.checks}
    if Condition.AMONG in stated:
        return ", ".join(stated[Condition.AMONG])
    if column.quantity is Quantity.TEXT:
        return f"one line, {LONGEST_TEXT} characters"
    return _range(stated, factor)


def _range(stated: dict[Condition, Any], factor: float) -> str:
    least = stated.get(Condition.AT_LEAST, stated.get(Condition.MORE_THAN))
    most = stated.get(Condition.AT_MOST)
    if least is None or most is None:
        return ""
    above = "above " if Condition.MORE_THAN in stated else ""
    return f"{above}{_bound(least, factor)} to {_bound(most, factor)}"


def _bound(value: object, factor: float) -> str:
    if not isinstance(value, int | float):
        return str(value)
    return f"{value:,}" if factor == 1 else number(value * factor)


def rule_lines(schema: Contract, units: Units) -> tuple[str, ...]:
    """The conditions on a whole row by which it is rejected."""
    to_come = (f"{name} is later than the day of the import" for name in schema.past)
    return (*(units.converted(rule.reason) for rule in schema.rules), *to_come)


def order_lines(schema: Contract, units: Units) -> tuple[str, ...]:
    """What may come in any order."""
    return tuple(
        f"{', '.join(map(units.name, columns))} may come in any order; they are sorted when read, the longest first"
        for columns in schema.sorts
    )


def markdown(units: Units, kinds: Iterable[str] | None = None) -> str:
    """The dictionary of the named kinds, or of all, as Markdown. Raises KeyError for a kind that is not in RECORDS."""
    return "\n".join(line for kind in (kinds or RECORDS) for line in _section(RECORDS[kind], units))


def _section(schema: Contract, units: Units) -> Iterator[str]:
    yield f"### {schema.name}"
    yield ""
    yield f"{schema.grain} Key: {', '.join(f'`{name}`' for name in schema.key)}."
    yield ""
    yield "| column | meaning | unit | needed | example | allowed |"
    yield "|---|---|---|---|---|---|"
    for entry in entries(schema, units):
        needed = "yes" if entry.is_needed else ""
        cells = (f"`{entry.column}`", entry.meaning, entry.unit, needed, entry.example, entry.allowed)
        yield f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |"
    yield ""
    if broken := rule_lines(schema, units):
        yield f"A row is rejected if {'; '.join(broken)}."
        yield ""
    for line in order_lines(schema, units):
        yield f"{line}."
        yield ""
