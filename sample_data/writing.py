"""Rows of cells into files of every format, the same bytes each time."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import re
import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import openpyxl
import pyarrow as pa
import pyarrow.parquet as pq

Row = dict[str, Any]
# Workbooks carry the time of their making; ours carry this one.
MADE_AT = dt.datetime(2026, 11, 20, 12, 0)


def write_csv(path: Path, rows: Sequence[Row | list[Any]], delimiter: str = ",", encoding: str = "utf-8") -> None:
    """A CSV with the headers of the first row; a row given as a list is written as it stands."""
    text = io.StringIO()
    writer = csv.writer(text, delimiter=delimiter, lineterminator="\n")
    first = next(row for row in rows if isinstance(row, dict))
    writer.writerow(first)
    writer.writerows(row if isinstance(row, list) else list(row.values()) for row in rows)
    path.write_bytes(text.getvalue().encode(encoding))


def write_jsonl(path: Path, rows: Sequence[Row]) -> None:
    """One JSON object a line."""
    text = "".join(json.dumps(row, ensure_ascii=False) + "\n" for row in rows)
    path.write_bytes(text.encode())


def write_parquet(path: Path, rows: Sequence[Row], schema: pa.Schema) -> None:
    """One Parquet file, typed by the schema."""
    table = pa.Table.from_pylist(list(rows), schema=schema)
    pq.write_table(table, path, compression="zstd", compression_level=9)


def charge_schema(headers: Sequence[str], amount: str) -> pa.Schema:
    """Types of a carrier's invoice file by position: texts, dates, whole numbers and decimals."""
    kinds = [pa.string(), pa.int32(), pa.date32(), pa.string(), pa.string(), pa.date32()]
    kinds += [pa.string(), pa.string(), pa.string(), pa.int64() if amount == "cents" else pa.float64()]
    kinds += [pa.float64()] * 4
    return pa.schema(list(zip(headers, kinds, strict=True)))


def text_schema(headers: Sequence[str]) -> pa.Schema:
    """Every column as text: an export that went through a hand."""
    return pa.schema([(header, pa.string()) for header in headers])


def write_xlsx(path: Path, rows: Sequence[Row], sheet: str) -> None:
    """A workbook with the rows in one sheet and a sheet of notes beside it."""
    book = openpyxl.Workbook(write_only=True)
    log = book.create_sheet(sheet)
    log.append(list(rows[0]))
    for row in rows:
        log.append(list(row.values()))
    notes = book.create_sheet("Notes")
    notes.append(["Sides outside, closed, longest first. Scale is tared with the tray on it."])
    book.properties.created = MADE_AT
    held = io.BytesIO()
    book.save(held)
    path.write_bytes(_without_clock(held.getvalue()))


def _without_clock(workbook: bytes) -> bytes:
    """The same workbook without the moment of its saving."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(workbook)) as made, zipfile.ZipFile(out, "w") as kept:
        for name in sorted(made.namelist()):
            part = made.read(name)
            if name == "docProps/core.xml":
                part = re.sub(
                    rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", MADE_AT.strftime("%Y-%m-%dT%H:%M:%SZ").encode(), part
                )
            entry = zipfile.ZipInfo(name, date_time=(2026, 11, 20, 12, 0, 0))
            entry.create_system = 3
            kept.writestr(entry, part, compress_type=zipfile.ZIP_DEFLATED, compresslevel=9)
    return out.getvalue()


def write_any(path: Path, table: Row, rows: Sequence[Any]) -> None:
    """In the format that the file's name says; a table states delimiter, encoding and sheet."""
    if path.suffix == ".csv":
        write_csv(path, rows, table.get("delimiter", ","), table.get("encoding", "utf-8"))
    elif path.suffix == ".xlsx":
        write_xlsx(path, rows, table["sheet"])
    elif path.suffix == ".jsonl":
        write_jsonl(path, rows)
    else:
        texts = [{header: None if cell is None else str(cell) for header, cell in row.items()} for row in rows]
        write_parquet(path, texts, text_schema(list(texts[0])))


def quarter(day: Any) -> str:
    """A day's quarter, as file names carry it."""
    return f"{day:%Y}-Q{(day.month + 2) // 3}"


def by_quarter(records: Sequence[Any], day_of: Callable[[Any], Any]) -> dict[str, list[Any]]:
    """The records of each quarter, in order."""
    parts: dict[str, list[Any]] = {}
    for record in records:
        parts.setdefault(quarter(day_of(record)), []).append(record)
    return dict(sorted(parts.items()))
