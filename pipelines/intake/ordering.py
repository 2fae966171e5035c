"""Sides of parcels and item types, in order whatever order they come in: the longest first."""

from collections.abc import Sequence

from models.reference import RECORDS
from models.rules import in_order
from pipelines.intake.columns import Layout


def with_sides_sorted(kind: str, layout: Layout, typed_rows: str) -> str:
    """The rows with their sides in order. Broken rows stay as they are, so that a reason names its own column."""
    groups = [columns for columns in RECORDS[kind].sorts if layout.is_sorted and layout.readings.keys() >= set(columns)]
    unsorted = " or ".join(rule.broken_sql for columns in groups for rule in in_order(columns)) or "false"
    ordered = ", ".join(
        f"case when is_unsorted then {value} else {name} end as {name}"
        for columns in groups
        for name, value in zip(columns, _in_order(columns), strict=True)
    )
    marked = f"select *, coalesce(not is_broken and ({unsorted}), false) as is_unsorted from ({typed_rows})"
    return f"select * replace ({ordered}) from ({marked})" if ordered else marked


def _in_order(columns: Sequence[str]) -> tuple[str, ...]:
    """SQL for the greatest, the middle and the least of two or three known columns."""
    listed = ", ".join(columns)
    if len(columns) == 2:
        return f"greatest({listed})", f"least({listed})"
    first, second, third = columns
    middle = f"greatest(least({first}, {second}), least(greatest({first}, {second}), {third}))"
    return f"greatest({listed})", middle, f"least({listed})"
