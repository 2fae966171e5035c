"""The committed demo files, read with plain libraries and nothing of the pipeline."""

from __future__ import annotations

import csv
import io
import json
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl
import pyarrow.parquet as pq

import sample_data

SHOP = Path(sample_data.__file__).parent
INBOX = SHOP / "inbox"
Row = dict[str, Any]


@cache
def truth() -> Row:
    return tomllib.loads((SHOP / "truth.toml").read_text(encoding="utf-8"))


@cache
def sources() -> list[Row]:
    return list(tomllib.loads((SHOP / "dunnage.toml").read_text(encoding="utf-8"))["source"])


@cache
def source_of(name: str) -> Row:
    found = [source for source in sources() if Path(name).match(source["files"])]
    assert len(found) == 1, (name, found)
    return found[0]


@cache
def rows(name: str) -> list[Row]:
    """A file's rows as its format gives them; CSV rows of a wrong length are kept under their first headers."""
    path, source = INBOX / name, source_of(name)
    if path.suffix == ".csv":
        with path.open(encoding=source.get("encoding", "utf-8"), newline="") as opened:
            return list(csv.DictReader(opened, delimiter=source.get("delimiter", ",")))
    if path.suffix == ".jsonl":
        return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    if path.suffix == ".parquet":
        return list(pq.read_table(path).to_pylist())
    sheet = openpyxl.load_workbook(io.BytesIO(path.read_bytes()), read_only=True)[source["sheet"]]
    headers, *cells = sheet.iter_rows(values_only=True)
    return [dict(zip(headers, row, strict=True)) for row in cells]


def header(source_name: str, column: str) -> str:
    """The source's header of a contract column."""
    said = next(source for source in sources() if source["name"] == source_name)["columns"][column]
    return str(said if isinstance(said, str) else said["column"])


@cache
def names(source_name: str, *, with_bad: bool = False) -> list[str]:
    """The files of a source in the order in which they are imported."""
    found = sorted(path.name for path in INBOX.iterdir() if source_of(path.name)["name"] == source_name)
    return [name for name in found if with_bad or not is_bad(name)]


def is_bad(name: str) -> bool:
    return "bad-rows" in name or "bad_rows" in name


def latest(source_name: str, *key: str) -> list[Row]:
    """The source's rows by contract key, later files winning."""
    headers = [header(source_name, column) for column in key]
    found: dict[tuple[Any, ...], Row] = {}
    for name in names(source_name):
        found |= {tuple(row[each] for each in headers): row for row in rows(name)}
    return list(found.values())


@cache
def charges() -> list[Row]:
    """Every invoice line of both carriers under contract names, sides and weight in the carrier's unit."""
    return [line for source in sources() if source["kind"] == "charges" for line in _charges_of(source)]


def _charges_of(source: Row) -> Iterator[Row]:
    mapped = {column: header(source["name"], column) for column in source["columns"] if column != "carrier"}
    for name in names(source["name"]):
        for row in rows(name):
            line = {column: row[head] for column, head in mapped.items()}
            if source["name"] == "northline-charges":
                line["amount_cents"] = round(line["amount_cents"] * 100)
            yield {**line, "carrier": source["columns"]["carrier"]["value"]}


@cache
def bench() -> dict[str, list[Row]]:
    """The bench log: parcel -> its rows."""
    found: dict[str, list[Row]] = {}
    for name in names("bench-log"):
        for row in rows(name):
            found.setdefault(row["Label"], []).append(row)
    return found


def cents(dollars: str) -> int:
    return round(float(dollars) * 100)
