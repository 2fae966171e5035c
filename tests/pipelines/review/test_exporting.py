"""A table of the warehouse as a file: every row, in order, safe to open, whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from models.errors import NotFoundError, SettingsError
from models.shop_units import Units
from models.tables import TABLES
from pipelines.cli import main
from pipelines.review.exporting import export
from pipelines.shop import warehouse
from tests.pipelines.small_shop import built_shop


@pytest.mark.parametrize("name", ["costs.csv", "costs.parquet", "it's.CSV"])
def test_every_row_and_column_is_written_in_order(demo: warehouse.Connection, tmp_path: Path, name: str) -> None:
    held = demo.execute("select * from marts.parcel_costs order by parcel_id").df()
    assert export(demo, "marts.parcel_costs", tmp_path / name, Units("USD")) == len(held)
    read = pd.read_csv if name.lower().endswith("csv") else pd.read_parquet
    found = read(tmp_path / name)
    assert found["parcel_id"].tolist() == held["parcel_id"].tolist()
    assert found["margin_cents"].tolist() == held["margin_cents"].tolist()
    assert sorted(found.columns) == sorted(held.columns)
    assert [file.name for file in tmp_path.iterdir()] == [name]


def test_a_cell_that_a_spreadsheet_would_run_is_text(tmp_path: Path) -> None:
    columns = {name: column.sql_type for name, column in TABLES["marts.record_states"].columns.items()}
    listed = ", ".join(f"cast({value(name)} as {kind}) as {name}" for name, kind in columns.items())
    with warehouse.scratch() as connection:
        connection.execute("create schema if not exists marts")
        connection.execute(f"create table marts.record_states as select {listed}")
        export(connection, "marts.record_states", tmp_path / "states.csv", Units("USD"))
    assert "'=1+1" in (tmp_path / "states.csv").read_text(encoding="utf-8")


def value(name: str) -> str:
    return "'=1+1'" if name == "kind" else "null"


def test_an_unknown_table_or_kind_of_file_is_reported(demo: warehouse.Connection, tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match=r"marts\.parcel_costs"):
        export(demo, "marts.parcels", tmp_path / "a.csv", Units("USD"))
    with pytest.raises(SettingsError, match="neither"):
        export(demo, "marts.parcel_costs", tmp_path / "a.xlsx", Units("USD"))
    assert list(tmp_path.iterdir()) == []


def test_the_command_says_how_many_rows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    built_shop(tmp_path / "shop")
    asked = ["--shop", str(tmp_path / "shop"), "export", "marts.parcel_costs", str(tmp_path / "costs.parquet")]
    assert main(asked) == 0
    rows = len(pd.read_parquet(tmp_path / "costs.parquet"))
    assert f"{rows:,} rows" in capsys.readouterr().out
