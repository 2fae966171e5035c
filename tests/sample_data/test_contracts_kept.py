"""Good rows keep their contracts, and each bad cell breaks its own column's, read cell by cell."""

from __future__ import annotations

from functools import cache

import pandas as pd
import pytest

from models import contracts
from models.cells.texts import Cell, Reading, read_cell
from models.errors import ContractError
from models.fields import Quantity
from models.reference import RECORDS
from tests.sample_data.shop_files import Row, names, rows, source_of, sources
from tests.sample_data.test_faults import answers

SOURCES = pytest.mark.parametrize("source", sources(), ids=lambda source: str(source["name"]))
read = cache(read_cell)


def read_column(source: Row, column: str, row: Row, mark: str | None = None) -> Cell:
    """One contract column of a row by the column map alone. mark: of numbers where the map states none."""
    said = source["columns"].get(column, {"value": ""})
    stated: Row = {"column": said} if isinstance(said, str) else said
    cell = row[stated["column"]] if "column" in stated else stated["value"]
    text = "" if cell is None else str(cell)
    quantity = RECORDS[source["kind"]].columns[column].quantity
    how = Reading(quantity, stated.get("unit"), source.get("decimal") or mark, source.get("date_order"))
    return read(stated.get("values", {}).get(text, text), how)


def typed(source: Row, column: str, values: list[object]) -> pd.Series:
    schema_column = RECORDS[source["kind"]].columns[column]
    if schema_column.quantity in (Quantity.DATE, Quantity.INSTANT):
        return pd.to_datetime(pd.Series(values)).astype("datetime64[us]")
    return pd.Series(values, dtype=schema_column.quantity.dtype)


@SOURCES
def test_good_rows_keep_their_contract(source: Row) -> None:
    schema = RECORDS[source["kind"]]
    for name in names(source["name"]):
        cells = {column: [read_column(source, column, row, ".") for row in rows(name)] for column in schema.columns}
        assert not [cell for column in cells.values() for cell in column if cell.reason]
        frame = pd.DataFrame(
            {column: typed(source, column, [cell.value for cell in cells[column]]) for column in cells}
        )
        contracts.validated(frame, schema, name)


def test_bad_cells_break_their_column() -> None:
    for (name, number), (column, reason) in answers().items():
        if reason in ("columns", "rule"):
            continue
        source = source_of(name)
        cell = read_column(source, column, rows(name)[number - 1])
        where = (name, number, column, reason)
        if reason in ("unreadable", "impossible", "ambiguous"):
            assert cell.reason, where
        else:
            assert not cell.reason, where
            lone = contracts.Contract(name=column, columns={column: RECORDS[source["kind"]].columns[column]})
            with pytest.raises(ContractError):
                contracts.validated(pd.DataFrame({column: typed(source, column, [cell.value])}), lone, str(where))
