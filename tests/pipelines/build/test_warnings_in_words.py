"""What a warning shows of its first rows: labels, amounts and measures as everywhere, and no row cut."""

from __future__ import annotations

import pandas as pd
import pytest

from models.fields import LONGEST_TEXT
from models.shop_units import METRIC, Units
from pipelines.build.checks import CheckResult, write_warnings
from pipelines.shop.warehouse import Connection
from tests.shops import built, rows


def told(connection: Connection, shown: pd.DataFrame, units: Units) -> str:
    write_warnings(connection, [CheckResult("some_check", "What it means.", len(shown), shown)], units)
    (row,) = rows(connection, "select examples from analysis.warnings")
    return str(row["examples"])


@pytest.mark.parametrize(
    ("units", "side"), [(Units("EUR"), "10 in"), (Units("EUR", METRIC), "25.4 cm")], ids=["inches", "metric"]
)
def test_rows_are_written_as_a_reader_is_shown_them(units: Units, side: str) -> None:
    shown = pd.DataFrame(
        {
            "parcel_id": ["P1"],
            "shipped_on": [pd.Timestamp("2026-10-03")],
            "marketplace_fee_cents": [1_175],
            "length_in": [10.0],
            "chart_prefix": [None],
        }
    )
    with built(needed=("marts.record_states",)) as connection:
        said = told(connection, shown, units)
    assert said.startswith("Parcel P1, Shipped 3 Oct 2026, Marketplace fee €11.75, ")
    assert said.endswith(f" {side}, Chart prefix not known") and "_" not in said


def test_as_many_rows_are_shown_as_a_text_holds_whole() -> None:
    shown = pd.DataFrame({"sale_id": ["S" * (LONGEST_TEXT // 2)] * 3})
    with built(needed=("marts.record_states",)) as connection:
        assert told(connection, shown, Units("USD")) == f"Sale id {'S' * (LONGEST_TEXT // 2)}"
