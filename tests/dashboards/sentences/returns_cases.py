"""Cases of the sentences on goods that came back undamaged, and on what paper leaves out."""

from __future__ import annotations

from typing import Any

import pandas as pd

from tests.dashboards.sentences.cases import BEFORE, MONTH, Case, Tables, margin, one_month, row, rows, states

RETURNS = "marts.returns"
NOW = pd.Timestamp(MONTH)


def _back(month: pd.Timestamp = NOW, **cells: Any) -> Tables:
    return row(RETURNS, shipped_month=month, **cells)


NO_LOSS, NO_CARRIAGE, NO_COST = (
    {**_back(), **row("marts.shipping_margin", **{**margin(-500, 80), **dict.fromkeys(none, 0)})}
    for none in (["depreciation_cents"], ["return_carriage_cents"], ["depreciation_cents", "return_carriage_cents"])
)

CASES: dict[str, Case] = {
    "returns.month": Case(
        {**one_month(), **_back()},
        ({**one_month(), **_back(BEFORE)}, {**one_month(), **rows(RETURNS)}, _back(), NO_LOSS, NO_CARRIAGE, NO_COST),
        "came back undamaged cost $12.50 for the way back and lost $12.50",
    ),
    "returns.way_back": Case(
        NO_LOSS,
        ({**one_month(), **_back()}, NO_CARRIAGE, NO_COST),
        "cost $12.50 for the way back; no loss of their worth is on record.",
    ),
    "returns.worth": Case(
        NO_CARRIAGE,
        ({**one_month(), **_back()}, NO_LOSS, NO_COST),
        "lost $12.50 of their worth; no cost of the way back is on record.",
    ),
    "returns.no_cost": Case(NO_COST, ({**one_month(), **_back()}, NO_LOSS, NO_CARRIAGE)),
    "returns.unsold": Case(
        rows(
            RETURNS,
            {"shipped_month": NOW, "resold_on": None, "days_unsold": 31, "return_id": "R1"},
            {"shipped_month": NOW, "resold_on": None, "days_unsold": 1, "return_id": "R2"},
        ),
        (_back(), _back(BEFORE, resold_on=None), _back(resold_on=None, days_unsold=None), rows(RETURNS)),
        "No record has anvil (R1) sold again, 31 days after it was shipped.",
    ),
    "returns.none": Case(
        {**one_month(), **rows(RETURNS), **states(returns=3)},
        (
            {**one_month(), **rows(RETURNS), **states(returns=0)},
            {**one_month(), **_back(), **states(returns=3)},
            {**rows(RETURNS), **states(returns=3)},
        ),
    ),
    "workbook.printed": Case(
        row("workbook.printed_tables", row_count=277, printed_row_count=40),
        (row("workbook.printed_tables", row_count=40, printed_row_count=40), rows("workbook.printed_tables")),
        "Set to print: the first 40 rows of 277.",
    ),
    "workbook.printed_columns": Case(
        row("workbook.printed_tables", column_count=37, printed_column_count=1),
        (row("workbook.printed_tables", column_count=9, printed_column_count=9), rows("workbook.printed_tables")),
        "Set to print: the first 1 column of 37.",
    ),
}
