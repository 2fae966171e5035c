"""When a zero is a dash: in wide tables, for what is counted or paid; never for what is not known."""

from __future__ import annotations

import pandas as pd
import pytest

from dashboards import blank_cells
from dashboards.template_parts import Line, Shown
from dashboards.views import _with_dashes
from models.tables import TABLES


@pytest.mark.parametrize(
    ("column", "value", "is_none"),
    [
        ("billed_cents", 0, False),  # what carriers billed is a result, however little
        ("carton_cents", 0, True),
        ("damage_count", 0, True),
        ("damage_count", 3, False),
        ("carton_cents", None, False),
        ("carton_cents", pd.NA, False),
        ("damage_rate", 0.0, False),
        ("margin_cents", 0, False),
        ("days_left", 0, False),  # the last day is today
        ("age_days", 0, False),
        ("worth_from_cents", 0, False),  # goods of less than the next class
    ],
)
def test_what_is_none(column: str, value: object, is_none: bool) -> None:
    assert any(column in table.columns for table in TABLES.values())
    assert blank_cells.is_none(column, value) is is_none


@pytest.mark.parametrize(("count", "text"), [(blank_cells.NARROW, "$0.00"), (blank_cells.NARROW + 1, blank_cells.NONE)])
def test_zeros_are_dashes_in_wide_tables_alone(count: int, text: str) -> None:
    zero = Shown("$0.00", "t", 0, "carton_cents", is_figure=True, is_unknown=False, is_loss=False, is_none=True)
    unknown = Shown("not known", "t", 0, "carton_cents", is_figure=True, is_unknown=True, is_loss=False)
    ((first, *_, last),) = (line.cells for line in _with_dashes([Line("", [zero] * (count - 1) + [unknown])]))
    assert (first.text, last.text) == (text, "not known")


@pytest.mark.parametrize(
    ("left", "basis", "is_lacking"), [(40, "recent weeks", False), (None, "recent weeks", True), (40, None, True)]
)
def test_no_order_is_lacking_only_where_stock_or_use_is_not_known(
    left: int | None, basis: str | None, is_lacking: bool
) -> None:
    row = pd.Series({"stock_left": left, "use_basis": basis, "order_count": None}, dtype=object)
    assert blank_cells.cannot_be("analysis.carton_orders", "order_count")
    assert blank_cells.is_lacking("order_count", row) is is_lacking
