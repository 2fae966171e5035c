"""A bill of two columns, for files whose oddity is not in the cells."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pipelines.shop.settings import ColumnSource, Source
from tests.strangers.probes import MONEY
from tests.strangers.trials import Row, Trial, mapped


def source(header: str, form: str, **more: Any) -> Source:
    """The map of a bill whose amounts stand under `header`."""
    columns = mapped(MONEY, ColumnSource(header), "Ref")
    return Source("source", "charges", "*", columns, format=form, decimal=".", **more)


def marks(group: str, count: int = 4) -> list[str]:
    """Marks of some rows."""
    return [f"{group} row {number}" for number in range(count)]


def trial(
    group: str, form: str, name: str, content: bytes, lines: Sequence[Row], header: str = "Amount", **more: Any
) -> Trial:
    """A file of such a bill."""
    return Trial(
        group, form, name, content, source(header, form), tuple(lines), ("amount_cents",), "invoice_number", **more
    )


def rows(marked: Sequence[str], why: str, *, is_valid: bool = True, is_allowed: bool = True) -> list[Row]:
    """1.25, 2.50 and so on, one for each mark."""
    return [
        Row(mark, (((number + 1) * 125,),) if is_allowed else (), why, is_valid and is_allowed)
        for number, mark in enumerate(marked)
    ]


def amount(number: int, times: float = 1.0) -> str:
    """The amount of the row of that number, as text."""
    return f"{(number + 1) * 1.25 * times:.2f}"
