"""Cells that the engine does not read, each distinct text read once by models/cells/texts.py."""

from collections.abc import Mapping
from contextlib import suppress

import pyarrow as pa

from models.cells.texts import Reading, read_cell
from pipelines.intake.fast_reading import fast_reading
from pipelines.shop.warehouse import Connection

_ARROW = {"BIGINT": pa.int64(), "DOUBLE": pa.float64(), "BOOLEAN": pa.bool_(), "DATE": pa.date32()}
_AT_ONCE = 200_000


def read_odd_cells(connection: Connection, readings: Mapping[str, Reading]) -> tuple[str, ...]:
    """For each column with unread texts in `odd_rows`, the temporary table read_COLUMN (cell, found, reason).

    Returns the names of these columns.
    """
    counts = ", ".join(f"count(*) filter ({_unread(name, reading)})" for name, reading in readings.items())
    found = connection.execute(f"select {counts} from odd_rows").fetchall()[0]
    looked_up = tuple(name for name, count in zip(readings, found, strict=True) if count)
    for name in looked_up:
        _read_texts(connection, name, readings[name])
    return looked_up


def _unread(name: str, reading: Reading) -> str:
    return f"{name} is not null and ({fast_reading(name, reading)}) is null"


def _read_texts(connection: Connection, name: str, reading: Reading) -> None:
    kind = reading.quantity.sql_type
    connection.execute(f"create or replace temp table read_{name} (cell varchar, found {kind}, reason varchar)")
    unread = f"select distinct {name} from odd_rows where {_unread(name, reading)}"
    # A plain list: a cursor that is still open would keep the connection from registering the answer.
    cells = [str(row[0]) for row in connection.execute(unread).fetchall()]
    for start in range(0, len(cells), _AT_ONCE):
        _read_some(connection, name, reading, cells[start : start + _AT_ONCE])


def _read_some(connection: Connection, name: str, reading: Reading, cells: list[str]) -> None:
    read = [read_cell(cell, reading) for cell in cells]
    kind = _ARROW.get(reading.quantity.sql_type, pa.timestamp("us"))
    values, reasons = (
        pa.array([cell.value for cell in read], kind),
        pa.array([cell.reason for cell in read], pa.string()),
    )
    connection.register("answer", pa.table([pa.array(cells), values, reasons], ["cell", "found", "reason"]))
    try:
        connection.execute(f"insert into read_{name} select cell, found, reason from answer")
    finally:
        with suppress(Exception):
            connection.unregister("answer")
